package meniscus.recorder.cli.figure;

import meniscus.core.flow.ThroatMeter;
import meniscus.core.refusal.Refusal;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure nozzle}: flow through a nozzle in a pipe. */
@Command(
    name = "nozzle",
    description = {
      "Flow through a nozzle or Venturi nozzle in a pipe, ISO 5167-3:2003.",
      "Kinds: isa-1932 (corner taps), long-radius (taps at D and D/2), venturi-nozzle."
    },
    footer = {
      "",
      "The standard wants long straight pipes before and behind the nozzle, and steady flow.",
      "",
      "Example:",
      "  meniscus figure nozzle --kind long-radius --throat \"50 mm\" --pipe \"100 mm\" \\",
      "      --drop \"10 inH2O\" --upstream \"101325 Pa\" \\",
      "      --temperature \"20 degC\" --humidity 50%%"
    })
final class FigureNozzle extends FigureThroat {

  @Option(
      names = "--kind",
      required = true,
      description = "isa-1932, long-radius or venturi-nozzle.")
  private String kind;

  @Override
  ThroatMeter meter() {
    return switch (kind) {
      case "isa-1932" -> ThroatMeter.ISA_1932;
      case "long-radius" -> ThroatMeter.LONG_RADIUS;
      case "venturi-nozzle" -> ThroatMeter.VENTURI_NOZZLE;
      default ->
          throw new Refusal(
              "--kind is isa-1932, long-radius or venturi-nozzle, not \"" + kind + "\"");
    };
  }
}
