package meniscus.recorder.cli.figure;

import meniscus.core.flow.ThroatMeter;
import meniscus.core.refusal.Refusal;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure venturi}: flow through a classical Venturi tube. */
@Command(
    name = "venturi",
    description = {
      "Flow through a classical Venturi tube, ISO 5167-4:2003.",
      "Kinds, by how the convergent is made: cast, machined, welded."
    },
    footer = {
      "",
      "Stated for pipe Reynolds numbers of 200 000 and more: most benches stay below, and are told.",
      "",
      "Example:",
      "  meniscus figure venturi --kind machined --throat \"60 mm\" --pipe \"100 mm\" \\",
      "      --drop \"20 inH2O\" --upstream \"101325 Pa\" \\",
      "      --temperature \"20 degC\" --humidity 50%%"
    })
final class FigureVenturi extends FigureThroat {

  @Option(names = "--kind", required = true, description = "cast, machined or welded.")
  private String kind;

  @Override
  ThroatMeter meter() {
    return switch (kind) {
      case "cast" -> ThroatMeter.CAST;
      case "machined" -> ThroatMeter.MACHINED;
      case "welded" -> ThroatMeter.WELDED;
      default -> throw new Refusal("--kind is cast, machined or welded, not \"" + kind + "\"");
    };
  }
}
