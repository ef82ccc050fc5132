package meniscus.recorder.cli.figure;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Locale;
import meniscus.core.flow.DischargeCoefficient;
import meniscus.core.flow.ValveGeometry;
import meniscus.core.flow.ValveGeometry.Regime;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.QuantityOption;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure valve}: areas of a poppet valve at a lift. */
@Command(
    name = "valve",
    description = {
      "Areas of a poppet valve at a lift, after Heywood (1988), equations 6.7 to 6.9.",
      "Regime 1: narrowest on the seat; 2: between seat edge and head edge; 3: in the throat."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus figure valve --head \"51.3 mm\" --seat-width \"1.8 mm\" \\",
      "      --seat-angle \"45 deg\" --throat \"46 mm\" --stem \"8 mm\" --lift \"6 mm\"",
      "  meniscus figure valve --head \"2.02 in\" --seat-width \"0.07 in\" \\",
      "      --seat-angle \"45 deg\" --throat \"1.81 in\" --stem \"0.342 in\" \\",
      "      --lift \"0.500 in\" --effective-area \"1.7 in2\""
    })
final class FigureValve extends FigureCommand.Question {

  /** Engines open to a quarter or a third of it (our own choice). */
  private static final double HIGHEST_LIFT_RATIO = 0.5;

  @Option(
      names = "--head",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Diameter of the valve head.")
  private Value head;

  @Option(
      names = "--seat-outer",
      converter = QuantityOption.Length.class,
      description =
          "Outer diameter of the seat; a seat of several angles ends inside the head's edge. Left"
              + " out: the head's.")
  private Value seatOuter;

  @Option(
      names = "--seat-width",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Seat width seen from below; the width along the face is this / cos(angle).")
  private Value seatWidth;

  @Option(
      names = "--seat-angle",
      required = true,
      converter = QuantityOption.Angle.class,
      description = "Seat angle from the head plane, for example \"45 deg\".")
  private Value seatAngle;

  @Option(
      names = "--throat",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Inside diameter of the throat behind the seat.")
  private Value throat;

  @Option(
      names = "--stem",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Diameter of the valve stem.")
  private Value stem;

  @Option(
      names = "--lift",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Valve lift.")
  private Value lift;

  @Option(
      names = "--effective-area",
      converter = QuantityOption.Area.class,
      description = "The port's effective area at this lift: discharge coefficients are given.")
  private Value effectiveArea;

  @Override
  FigureAnswer answer() {
    ValveGeometry valve =
        new ValveGeometry(
            head.si(),
            (seatOuter == null ? head : seatOuter).si(),
            seatWidth.si(),
            seatAngle.si(),
            throat.si(),
            stem.si());
    double liftM = lift.si();
    Regime regime = valve.regime(liftM);
    FigureAnswer answer =
        new FigureAnswer()
            .with("seat_area_mm2", valve.seatArea(liftM) * 1e6)
            .line("seat area", area(valve.seatArea(liftM)))
            .with("curtain_area_mm2", valve.curtainArea(liftM) * 1e6)
            .line("curtain area", area(valve.curtainArea(liftM)))
            .with("lift_ratio", valve.liftRatio(liftM), "lift / head diameter", "%.4f")
            .with("regime", regime.number())
            .with("narrowest", word(regime))
            .line("regime", regime.number() + ", narrowest " + word(regime));
    if (valve.liftRatio(liftM) > HIGHEST_LIFT_RATIO) {
      answer.remark("a lift above half of the head's diameter is unusual: is its unit right?");
    }
    if (effectiveArea != null) {
      coefficients(answer, valve, liftM);
    }
    return answer;
  }

  private void coefficients(FigureAnswer answer, ValveGeometry valve, double liftM) {
    if (!(liftM > 0)) {
      throw new Refusal("a shut valve has no discharge coefficient");
    }
    ObjectNode over = answer.object("discharge_coefficient");
    for (DischargeCoefficient.Area area : DischargeCoefficient.Area.values()) {
      DischargeCoefficient coefficient =
          valve.dischargeCoefficient(effectiveArea.si(), liftM, area);
      String name = area.name().toLowerCase(Locale.ROOT);
      over.put(name, coefficient.value());
      if (coefficient.value() > 1) {
        answer.remark(
            "Cd over the "
                + name
                + " area is above 1: no stream passes more than all of it without loss; look at"
                + " lift, unit and which area is meant");
      }
      answer.line("Cd over the " + name + " area", Text.of("%.4f", coefficient.value()));
    }
  }

  private static String word(Regime regime) {
    return switch (regime) {
      case SEAT -> "on the seat";
      case EDGE -> "between seat edge and head edge";
      case THROAT -> "in the throat";
    };
  }

  private static String area(double squareMetres) {
    return Text.of(
        "%.3f mm2 (%.4f in2)", squareMetres * 1e6, Unit.SQUARE_INCH.fromSi(squareMetres));
  }
}
