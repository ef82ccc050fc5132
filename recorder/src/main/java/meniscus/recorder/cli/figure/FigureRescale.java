package meniscus.recorder.cli.figure;

import java.util.Locale;
import meniscus.core.flow.PressureScaling;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.QuantityOption;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure rescale}: a flow at another test pressure. */
@Command(
    name = "rescale",
    description = {
      "A flow at another test pressure, with how far the plain square root is off.",
      "Volume flow of upstream air at 101325 Pa, ratio of specific heats 1.4."
    },
    footer = {
      "",
      "nozzle (default): as a port does. plate: as a sharp orifice plate does.",
      "root: the plain square root; its error is then given against the nozzle.",
      "",
      "Examples:",
      "  meniscus figure rescale --flow \"150 cfm\" --from \"10 inH2O\" --to \"28 inH2O\"",
      "  meniscus figure rescale --flow \"70 L/s\" --from \"2.5 kPa\" --to \"7 kPa\" \\",
      "      --form plate"
    })
final class FigureRescale extends FigureCommand.Question {

  private static final double UPSTREAM_PA = 101_325;
  private static final double KAPPA = 1.4;

  /** 1 − (2/(κ+1))^(κ/(κ−1)) with κ 1.4. */
  private static final double CHOKES = 0.4717;

  @Option(
      names = "--flow",
      required = true,
      converter = QuantityOption.VolumeFlow.class,
      description = "Volume flow at the first test pressure.")
  private Value flow;

  @Option(
      names = "--from",
      required = true,
      converter = QuantityOption.Pressure.class,
      description = "Test pressure of that flow.")
  private Value from;

  @Option(
      names = "--to",
      required = true,
      converter = QuantityOption.Pressure.class,
      description = "Test pressure wanted.")
  private Value to;

  @Option(
      names = "--form",
      defaultValue = "nozzle",
      description = "root, nozzle (default) or plate.")
  private PressureScaling form;

  @Option(
      names = "--ratio",
      converter = QuantityOption.Ratio.class,
      description = "Bore over pipe diameter of a plate; 0 (between two large rooms) if not given.")
  private Value ratio;

  @Override
  FigureAnswer answer() {
    double fromPa = testPressure("--from", from);
    double toPa = testPressure("--to", to);
    double beta = ratio();
    double factor = form.factor(fromPa, toPa, UPSTREAM_PA, KAPPA, beta);
    // Against itself the root would always be right, which helps nobody.
    PressureScaling judge = form == PressureScaling.ROOT ? PressureScaling.NOZZLE : form;
    double error = 100 * judge.plainRootError(fromPa, toPa, UPSTREAM_PA, KAPPA, beta);
    FigureAnswer answer = new FigureAnswer();
    answer.object("flow").put("value", flow.number() * factor).put("unit", flow.unit().symbol());
    answer
        .line("flow", new Value(flow.number() * factor, flow.unit()).toString(3))
        .with("plain_root_error_percent", error, "plain root is off by", "%+.2f %%")
        .with("form", word(form))
        .line("form", word(form));
    if (form != PressureScaling.PLATE && Math.max(fromPa, toPa) > CHOKES * UPSTREAM_PA) {
      answer.remark(
          "above 47 % of the upstream pressure a nozzle chokes and a port may choke before: the flow"
              + " rises no further, and no scaling holds");
    }
    if (form == PressureScaling.PLATE && Math.max(fromPa, toPa) > 0.25 * UPSTREAM_PA) {
      answer.remark(
          "a test pressure above a quarter of the upstream pressure is beyond ISO 5167-2: the"
              + " expansibility factor is not proven there");
    }
    if (form == PressureScaling.ROOT) {
      answer.remark(
          Text.of(
              "plain square root, as asked: against a port that acts as a nozzle it is off by %+.2f"
                  + " %%",
              error));
    }
    return answer;
  }

  private double ratio() {
    if (ratio == null) {
      return 0;
    }
    if (form != PressureScaling.PLATE) {
      throw new Refusal("--ratio is for --form plate");
    }
    if (!(ratio.si() >= 0 && ratio.si() <= 0.75)) {
      throw new Refusal(
          "--ratio must be from 0 to 0.75, up to which ISO 5167-2 is stated, not " + ratio);
    }
    return ratio.si();
  }

  private static double testPressure(String option, Value pressure) {
    if (!(pressure.si() > 0 && pressure.si() < UPSTREAM_PA)) {
      throw new Refusal(
          option + " must be above zero and below the upstream 101325 Pa, not " + pressure);
    }
    return pressure.si();
  }

  private static String word(PressureScaling form) {
    return form.name().toLowerCase(Locale.ROOT);
  }
}
