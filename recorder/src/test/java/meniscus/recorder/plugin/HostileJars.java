package meniscus.recorder.plugin;

import java.io.IOException;
import java.nio.file.Path;

/** Seven jars that must do no harm; the good one beside them has the id {@code stranger-gauge}. */
final class HostileJars {

  private HostileJars() {}

  /**
   * @param folder of plugins; a jar before them in the alphabet has the id that one of them claims
   * @param temp to compile in
   */
  static void into(Path folder, Path temp) throws IOException {
    put(
        folder,
        "b-newer.jar",
        new JarMaker(temp).driver("Newer", "newer", "return API_VERSION;", "return 99;"));
    put(
        folder,
        "c-missing.jar",
        new JarMaker(temp)
            .source("Gone", "public class Gone { static int one() { return 1; } }")
            .driver("Missing", "missing", "/*constructor*/", "Gone.one();")
            .without("Gone"));
    put(
        folder,
        "d-throws.jar",
        new JarMaker(temp)
            .driver(
                "Throws",
                "throws",
                "/*constructor*/",
                "if (true) throw new IllegalStateException(\"no\\u001b[2J luck\");"));
    put(folder, "e-again.jar", new JarMaker(temp).driver("Again", "stranger-gauge"));
    put(
        folder,
        "f-open.jar",
        new JarMaker(temp).driver("Open", "open", "public final class", "public class"));
    put(
        folder,
        "g-hangs.jar",
        new JarMaker(temp)
            .driver("Hangs", "hangs", "return \"hangs\";", JarMaker.HANG + "return null;"));
    put(
        folder,
        "h-deep.jar",
        new JarMaker(temp).driver("Deep", "deep", "return \"deep\";", "return id();"));
  }

  private static void put(Path folder, String name, JarMaker jar) throws IOException {
    jar.into(folder.resolve(name));
  }
}
