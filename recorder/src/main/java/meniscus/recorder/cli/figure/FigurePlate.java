package meniscus.recorder.cli.figure;

import java.util.List;
import meniscus.core.air.AirState;
import meniscus.core.flow.Expansibility;
import meniscus.core.flow.MeterFlow;
import meniscus.core.flow.OrificePlate;
import meniscus.core.flow.Tapping;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.QuantityOption;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure plate}: flow through an orifice plate. */
@Command(
    name = "plate",
    description = {
      "Flow through a sharp-edged orifice plate, ISO 5167-2:2003.",
      "Without --pipe: between two large rooms, an extrapolation outside the standard."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus figure plate --bore \"22.2 mm\" --pipe \"73.91 mm\" --taps corner \\",
      "      --drop \"10 inH2O\" --upstream \"101325 Pa\" \\",
      "      --temperature \"20 degC\" --humidity 50%%",
      "  meniscus figure plate --bore \"1.5 in\" --drop \"10 inH2O\" \\",
      "      --upstream \"29.92 inHg\" --temperature \"70 degF\" --humidity 40%%"
    })
final class FigurePlate extends FigureCommand.Question {

  @Option(
      names = "--bore",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Bore of the plate, sharp edge upstream, bevel downstream.")
  private Value bore;

  @Option(
      names = "--pipe",
      converter = QuantityOption.Length.class,
      description = "Inside diameter of the pipe upstream.")
  private Value pipe;

  @Option(names = "--taps", description = "Pressure taps: corner, flange or radius (D and D/2).")
  private Tapping taps;

  @Option(
      names = "--drop",
      required = true,
      converter = QuantityOption.Pressure.class,
      description = "Pressure drop across the plate.")
  private Value drop;

  @Option(
      names = "--upstream",
      required = true,
      converter = QuantityOption.Pressure.class,
      description = "Absolute pressure upstream of the plate.")
  private Value upstream;

  @Option(
      names = "--temperature",
      required = true,
      converter = QuantityOption.Temperature.class,
      description = "Air temperature upstream of the plate.")
  private Value temperature;

  @Option(
      names = "--humidity",
      required = true,
      converter = QuantityOption.Ratio.class,
      description = "Relative humidity upstream of the plate, 0%% to 100%%.")
  private Value humidity;

  @Option(
      names = "--expansibility",
      defaultValue = "2003",
      description = "Form of the expansibility factor: 2003 (default) or 1991.")
  private String form;

  @Override
  FigureAnswer answer() {
    AirState air = new AirState(temperature.si(), upstream.si(), humidity.si());
    Expansibility expansibility = expansibility();
    MeterFlow flow = plate().flow(air, drop.si(), expansibility);
    FigureAnswer answer =
        factors(flow)
            .with("expansibility_form", form)
            .line("  its form", expansibility == Expansibility.ISO_2003 ? "ISO 2003" : "ISO 1991");
    return flow(answer, flow, air)
        .with("extrapolation", flow.extrapolation())
        .remarks(flow.kind())
        .remarks(flow.broken())
        .remarks(air.warnings());
  }

  /** The two factors of the flow equation, and whether their uncertainties hold. */
  static FigureAnswer factors(MeterFlow flow) {
    FigureAnswer answer = new FigureAnswer();
    factor(
        answer,
        flow,
        flow.coefficient(),
        "discharge_coefficient",
        List.of("discharge coefficient", "  its uncertainty (95 %)"));
    factor(
        answer,
        flow,
        flow.expansibility(),
        "expansibility",
        List.of("expansibility factor", "  that of the factor (95 %)"));
    return answer.with("within_limits", flow.withinLimits());
  }

  /** Beyond the limits of use the standard states no uncertainty. */
  private static void factor(
      FigureAnswer answer,
      MeterFlow flow,
      MeterFlow.Factor factor,
      String member,
      List<String> of) {
    answer.with(member, factor.value(), of.get(0), "%.5f");
    if (flow.withinLimits()) {
      answer.with(member + "_u95_percent", 100 * factor.u95(), of.get(1), "%.2f %%");
    } else {
      answer.unknown(member + "_u95_percent", of.get(1), "a limit of use is broken, see below");
    }
  }

  /** How much flows. */
  static FigureAnswer flow(FigureAnswer answer, MeterFlow flow, AirState air) {
    double volume = flow.massFlow() / air.density();
    return answer
        .with("mass_flow_kg_per_s", flow.massFlow(), "mass flow", "%.6f kg/s")
        .with("volume_flow_m3_per_s", volume)
        .line("volume flow, upstream air", volume(volume))
        .with(
            "reynolds",
            flow.reynolds(),
            flow.extrapolation() ? "Reynolds number of the bore" : "Reynolds number of the pipe",
            "%.0f");
  }

  private OrificePlate plate() {
    if (pipe == null) {
      if (taps != null) {
        throw new Refusal(
            "--taps needs --pipe: between two large rooms the pressures are those of the rooms");
      }
      return OrificePlate.betweenRooms(bore.si());
    }
    if (taps == null) {
      throw new Refusal(
          "with --pipe say where the pressure taps are: --taps corner, flange or radius");
    }
    OrificePlate plate = OrificePlate.inPipe(bore.si(), pipe.si(), taps);
    plate.refuseBeyondSense();
    return plate;
  }

  private Expansibility expansibility() {
    return switch (form) {
      case "2003" -> Expansibility.ISO_2003;
      case "1991" -> Expansibility.ISO_1991;
      default -> throw new Refusal("--expansibility is 2003 or 1991, not \"" + form + "\"");
    };
  }

  static String volume(double cubicMetresPerSecond) {
    return Text.of(
        "%.6f m3/s (%.3f cfm)",
        cubicMetresPerSecond, Unit.CUBIC_FOOT_PER_MINUTE.fromSi(cubicMetresPerSecond));
  }
}
