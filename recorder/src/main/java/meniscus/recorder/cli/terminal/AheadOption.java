package meniscus.recorder.cli.terminal;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.report.Ahead;
import picocli.CommandLine.Option;

/** What is planned for a port, and what it is to reach. */
public final class AheadOption {

  @Option(
      names = "--series",
      paramLabel = "FILE",
      description = "With --history: states that are planned, and which of them are left to do.")
  private Optional<Path> series = Optional.empty();

  @Option(
      names = "--target",
      paramLabel = "FILE",
      description = "A curve to reach, written as a typed curve is: reached or not, lift by lift.")
  private Optional<Path> target = Optional.empty();

  @Option(
      names = "--aim",
      paramLabel = "FLOW at LIFT",
      description =
          "One flow to reach, such as \"245 cfm at 0.600 in\"; may be given several times.")
  private List<String> aims = new ArrayList<>();

  public Ahead read() {
    if (target.isPresent() && !aims.isEmpty()) {
      throw CommandFailed.usage("--target and --aim: give one of them");
    }
    try {
      return Ahead.read(series, target, aims);
    } catch (Refusal e) {
      throw CommandFailed.usage("--aim: " + e.getMessage());
    }
  }
}
