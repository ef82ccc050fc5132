package meniscus.recorder.power;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import meniscus.core.Needed;

/** Programs of the system that make, mend and read file systems in a file, without rights. */
final class Tools {

  private Tools() {}

  static String find(String name) {
    List<Path> places =
        Stream.of("/usr/sbin", "/sbin", "/usr/bin", "/bin").map(at -> Path.of(at, name)).toList();
    Path found = places.stream().filter(Files::isExecutable).findFirst().orElse(null);
    Needed.that(found != null, name);
    return found.toString();
  }

  /** What a program ended with, and all it said. */
  record Ended(int code, String said) {

    String orThrow() {
      if (code != 0) {
        throw new IllegalStateException(said);
      }
      return said;
    }
  }

  static Ended run(String... words) throws IOException, InterruptedException {
    Path said = Files.createTempFile("said", ".txt");
    try {
      Process process =
          new ProcessBuilder(words)
              .redirectErrorStream(true)
              .redirectInput(Path.of("/dev/null").toFile())
              .redirectOutput(said.toFile())
              .start();
      if (!process.waitFor(10, TimeUnit.MINUTES)) {
        process.destroyForcibly();
        throw new AssertionError("waited for " + String.join(" ", words));
      }
      return new Ended(process.exitValue(), Files.readString(said));
    } finally {
      Files.delete(said);
    }
  }

  /** An ext4 file system that holds what a folder holds. */
  static void fileSystem(Path image, Path folder, String size)
      throws IOException, InterruptedException {
    // Nothing is left for the kernel to do lazily: the log holds the test's own writes.
    run(
            find("mke2fs"),
            "-q",
            "-F",
            "-t",
            "ext4",
            "-b",
            "4096",
            "-E",
            "lazy_itable_init=0,lazy_journal_init=0",
            "-d",
            folder.toString(),
            image.toString(),
            size)
        .orThrow();
  }
}
