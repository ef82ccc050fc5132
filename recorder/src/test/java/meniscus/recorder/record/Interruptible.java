package meniscus.recorder.record;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import meniscus.core.Needed;

/**
 * Programs that can be interrupted. A parent that ignores SIGINT ({@code nohup}, some build
 * servers) hands that on to its children, and Java then never hears Ctrl-C; {@code env} of GNU
 * coreutils (8.31 and later) gives a child the usual behaviour back.
 */
public final class Interruptible {

  private static final int SIGINT = 2;

  private Interruptible() {}

  /** What to put before a command so that it hears SIGINT; skips where nothing does. */
  public static List<String> prefix() throws IOException, InterruptedException {
    if (!ignoredHere()) {
      return List.of();
    }
    List<String> env = List.of("/usr/bin/env", "--default-signal=INT");
    Needed.that(
        Files.isExecutable(Path.of(env.get(0)))
            && new ProcessBuilder(env.get(0), env.get(1), "true").start().waitFor() == 0,
        "SIGINT is ignored here, and no env that can undo it: Ctrl-C is not tried");
    return env;
  }

  /** Linux says in a mask; elsewhere it is taken to be heard. */
  private static boolean ignoredHere() throws IOException {
    Path status = Path.of("/proc/self/status");
    if (!Files.exists(status)) {
      return false;
    }
    Optional<String> mask =
        Files.readAllLines(status).stream().filter(line -> line.startsWith("SigIgn:")).findFirst();
    return mask.isPresent()
        && (Long.parseUnsignedLong(mask.get().substring(7).strip(), 16) >> (SIGINT - 1) & 1) == 1;
  }
}
