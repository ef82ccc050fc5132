package meniscus.recorder.folder;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.drivers.hash.Sha256;

/** The seal of datapackage.json as docs/file-formats.md has it, for tests that forge one. */
public final class Seal {

  private static final Pattern SEAL = Pattern.compile("\"seal\" *: *\"sha256:([0-9a-f]{64})\"");

  private Seal() {}

  /** The text with the seal that belongs to it; as it is where it has none. */
  public static String of(String text) {
    Matcher seal = SEAL.matcher(text);
    if (!seal.find()) {
      return text;
    }
    String before = text.substring(0, seal.start(1));
    String after = text.substring(seal.end(1));
    String blank = before + "0".repeat(64) + after;
    return before + Sha256.hex(blank.getBytes(StandardCharsets.UTF_8)) + after;
  }

  /** Puts the seal that belongs to it into a file that was changed. */
  public static void anew(Path described) throws IOException {
    Files.writeString(described, of(Files.readString(described)));
  }
}
