package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.file.Path;
import java.util.regex.Pattern;

/**
 * Names of files that stay inside their folder: letters, digits, {@code . _ -}, with {@code /}
 * between folder and file. None starts with a dot, so {@code ..} and hidden files are out.
 */
public final class InsideName {

  private static final Pattern FORM =
      Pattern.compile("[A-Za-z0-9_][A-Za-z0-9._-]{0,119}(/[A-Za-z0-9_][A-Za-z0-9._-]{0,119}){0,3}");

  private InsideName() {}

  public static boolean ok(String name) {
    return FORM.matcher(name).matches();
  }

  /**
   * The path of a named file of a folder.
   *
   * @throws IOException when the name could lead out of the folder, or leads through a link
   */
  public static Path resolve(Disk disk, Path folder, String name) throws IOException {
    if (!ok(name)) {
      throw new IOException(
          "\"" + name + "\" is not a name that a test folder may hold: nothing was read from it");
    }
    Path path = folder;
    String[] steps = name.split("/");
    for (int i = 0; i + 1 < steps.length; i++) {
      path = path.resolve(steps[i]);
      if (!disk.exists(path)) {
        throw new IOException(path + " is missing, or a link: a test folder holds real folders");
      }
    }
    return path.resolve(steps[steps.length - 1]);
  }
}
