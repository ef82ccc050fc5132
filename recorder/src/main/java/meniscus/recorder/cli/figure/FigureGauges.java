package meniscus.recorder.cli.figure;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Source;
import meniscus.core.calibrate.GaugeComparison;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.QuantityOption;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure gauges}: whether two gauges teed on one pressure show the same. */
@Command(
    name = "gauges",
    description = {
      "Compares two gauges that are teed on one pressure, at three pressures or more. A wrong gain",
      "of a gauge cannot be seen from orifice plates: it makes all of them wrong alike."
    },
    footer = {
      "",
      "Take both zeros first. Tee both gauges on one hose with a syringe, or on the plenum with the",
      "head's place closed; set pressures over their common range, the highest three times the lowest",
      "or more, and let each stand still. Blow into no gauge: breath overloads it.",
      "More than both accuracies allow means that one of the two is wrong; a third gauge or a water",
      "column tells which.",
      "",
      "Example:",
      "  meniscus figure gauges --first \"2.01 inH2O, 8.04 inH2O, 20.2 inH2O\" \\",
      "      --second \"2.00 inH2O, 7.88 inH2O, 19.8 inH2O\" \\",
      "      --accuracy 0.25%% --step \"0.01 inH2O\""
    })
final class FigureGauges extends FigureCommand.Question {

  @Option(
      names = "--first",
      required = true,
      paramLabel = "P,P,…",
      description = "What the first gauge shows, one pressure after the other.")
  private String first;

  @Option(
      names = "--second",
      required = true,
      paramLabel = "P,P,…",
      description = "What the second shows at the same pressures.")
  private String second;

  @Option(
      names = "--accuracy",
      required = true,
      converter = QuantityOption.Ratio.class,
      description = "Limits of the first gauge's error, as a share of its reading.")
  private Value accuracy;

  @Option(
      names = "--second-accuracy",
      converter = QuantityOption.Ratio.class,
      description = "The same of the second; that of the first if not given.")
  private Value secondAccuracy;

  @Option(
      names = "--step",
      required = true,
      converter = QuantityOption.Pressure.class,
      description = "Smallest step of the first gauge, or how far it swings while it stands.")
  private Value step;

  @Option(
      names = "--second-step",
      converter = QuantityOption.Pressure.class,
      description = "The same of the second; that of the first if not given.")
  private Value secondStep;

  @Override
  FigureAnswer answer() {
    List<Double> one = pressures("--first", first);
    List<Double> other = pressures("--second", second);
    if (one.size() != other.size()) {
      throw new Refusal(
          "--first has "
              + one.size()
              + " pressures and --second "
              + other.size()
              + ": give what both showed at the same time");
    }
    double u = uncertainty(step);
    double otherU = secondStep == null ? u : uncertainty(secondStep);
    List<GaugeComparison.Pair> pairs = new ArrayList<>();
    for (int i = 0; i < one.size(); i++) {
      pairs.add(new GaugeComparison.Pair(one.get(i), u, other.get(i), otherU));
    }
    GaugeComparison found =
        GaugeComparison.of(
            gauge("the first", one, accuracy),
            gauge("the second", other, secondAccuracy == null ? accuracy : secondAccuracy),
            pairs);
    return new FigureAnswer()
        .with("gain_percent", 100 * found.gain(), "first against second", "%+.3f %%")
        .with(
            "gain_u95_percent", 200 * found.standardUncertainty(), "  by the readings", "± %.3f %%")
        .with("limit_percent", 100 * found.limit(), "  both accuracies allow", "± %.3f %%")
        .with("bend", found.bend(), "farthest off a line, over what is allowed", "%.2f")
        .with("agree", found.agree())
        .remark(found.words());
  }

  private static List<Double> pressures(String option, String text) {
    List<Double> pressures = new ArrayList<>();
    for (String each : text.split(",")) {
      try {
        pressures.add(Value.parse(each.trim(), Dimension.PRESSURE).si());
      } catch (IllegalArgumentException e) {
        throw new Refusal(option + ": " + e.getMessage());
      }
    }
    return pressures;
  }

  /** Rectangular, half a step to either side. */
  private static double uncertainty(Value step) {
    if (!(step.si() > 0)) {
      throw new Refusal("a gauge's smallest step is above zero, not " + step);
    }
    return step.si() / Math.sqrt(12);
  }

  private static Source.Measured gauge(String name, List<Double> shown, Value accuracy) {
    double highest = shown.stream().mapToDouble(Math::abs).max().orElseThrow();
    return new Source.Measured(
        "figure", name, -highest, highest, new Accuracy(accuracy.si(), 0, 0), 0, false);
  }
}
