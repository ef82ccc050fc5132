package meniscus.recorder.file;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.UUID;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.self.UserFolders;

/**
 * Where a bench file is at home. A bench file of one id that lies elsewhere is either the same
 * bench's, moved, or a copy made for another bench: no program can know which, so it asks, before
 * errors of two benches are taken for one.
 */
public final class BenchHome {

  private static final String COMPUTER = "computer-id";

  /** Digits of a home: enough that two never meet, too few to tell a path from. */
  private static final int DIGITS = 16;

  private BenchHome() {}

  /** A place on this computer, as a bench file remembers it. */
  public static String of(Path file) {
    Path whole;
    try {
      whole = file.toRealPath();
    } catch (IOException notYet) {
      whole = file.toAbsolutePath().normalize();
    }
    return hash(computer() + "\n" + whole);
  }

  static String question(Path file, String name) {
    return file
        + " was moved or copied: \""
        + name
        + "\" was at home elsewhere. For the same bench say \"meniscus health --bench "
        + file
        + " --same-bench\"; for another one \"meniscus health --bench "
        + file
        + " --another-bench\": it gets an id of its own and learns zero, leakage and calibration"
        + " anew";
  }

  /** Drawn once for whoever uses this computer; empty where that cannot be kept. */
  private static String computer() {
    Path kept = UserFolders.here().state().resolve(COMPUTER);
    try {
      if (!Files.exists(kept)) {
        draw(kept);
      }
      return Files.readString(kept, StandardCharsets.UTF_8);
    } catch (IOException notHere) {
      return "";
    }
  }

  /** Two programs that begin at once end with one id. */
  private static void draw(Path kept) throws IOException {
    Files.createDirectories(kept.getParent());
    Path drawn = Files.createTempFile(kept.getParent(), COMPUTER, ".part");
    try {
      Files.writeString(drawn, UUID.randomUUID().toString(), StandardCharsets.UTF_8);
      Files.createLink(kept, drawn);
    } catch (FileAlreadyExistsException another) {
      // that one counts
    } catch (UnsupportedOperationException noLinks) {
      Files.copy(drawn, kept);
    } finally {
      Files.deleteIfExists(drawn);
    }
  }

  private static String hash(String text) {
    return Sha256.hex(text.getBytes(StandardCharsets.UTF_8)).substring(0, DIGITS);
  }
}
