package meniscus.recorder.outlet;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import java.util.stream.Stream;
import meniscus.recorder.file.WholeFile;

/**
 * Tests whose facts are not all in the spool yet: a small file each, which names the test's folder
 * and goes when its last fact is in. So a program that was killed knows where to go on, whichever
 * program took the test.
 */
final class FollowedTests {

  private final Path folder;

  /**
   * A test that is followed.
   *
   * @param entry that says so
   * @param test its folder
   */
  record Followed(Path entry, Path test) {}

  FollowedTests(Path outlet) {
    this.folder = outlet.resolve("following");
  }

  /** Each time a test is begun or taken up again: two entries of one test do no harm. */
  void add(Path test) throws IOException {
    WholeFile.write(folder.resolve(UUID.randomUUID().toString()), name(test) + "\n");
  }

  /** Beside each other as they are now, wherever both are moved to together. */
  private String name(Path test) {
    Path whole = test.toAbsolutePath().normalize();
    Path here = folder.toAbsolutePath().normalize();
    return (whole.getRoot().equals(here.getRoot()) ? here.relativize(whole) : whole).toString();
  }

  List<Followed> all() throws IOException {
    List<Followed> found = new ArrayList<>();
    if (!Files.isDirectory(folder)) {
      return found;
    }
    try (Stream<Path> entries = Files.list(folder)) {
      for (Path entry : entries.sorted().toList()) {
        if (!entry.getFileName().toString().startsWith(".")) {
          String name = Files.readString(entry, StandardCharsets.UTF_8).strip();
          found.add(
              new Followed(entry, folder.toAbsolutePath().normalize().resolve(name).normalize()));
        }
      }
    }
    return found;
  }

  void done(Followed test) throws IOException {
    Files.deleteIfExists(test.entry());
  }
}
