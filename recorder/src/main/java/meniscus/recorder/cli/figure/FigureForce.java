package meniscus.recorder.cli.figure;

import meniscus.core.flow.Direction;
import meniscus.core.flow.ValveForce;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.QuantityOption;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure force}: what the test pressure does to a valve. */
@Command(
    name = "force",
    description = {
      "Force of the test pressure on a valve head, and what is left of the checking spring.",
      "Upper bound: the whole head at the whole test pressure, nearly true at low lift."
    },
    footer = {
      "",
      "Suction pulls a valve open, blowing pushes it shut. A margin below zero means",
      "that the valve moves by itself and the lift is not what was set.",
      "Springs store energy: compress them with the proper tool, wear eye protection.",
      "",
      "Examples:",
      "  meniscus figure force --head \"2.02 in\" --pressure \"28 inH2O\"",
      "  meniscus figure force --head \"2.02 in\" --pressure \"28 inH2O\" \\",
      "      --seat-load \"20 N\" --rate \"1.5 N/mm\" --lift \"0.050 in\""
    })
final class FigureForce extends FigureCommand.Question {

  private static final double STANDARD_GRAVITY = 9.80665;

  /** A room's air has no more to give, and no bench comes near it [Pa]. */
  private static final double MOST_PA = 101_325;

  /** No engine whose head stands on a bench has a larger valve (our own choice) [m]. */
  private static final double LARGEST_HEAD_M = 0.1;

  @Option(
      names = "--head",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Diameter of the valve head.")
  private Value head;

  @Option(
      names = "--pressure",
      required = true,
      converter = QuantityOption.Pressure.class,
      description = "Test pressure across the port, positive whatever the direction.")
  private Value pressure;

  @Option(
      names = "--direction",
      defaultValue = "suction",
      description = "suction (default) or blowing.")
  private Direction direction;

  @Option(
      names = "--seat-load",
      converter = QuantityOption.Force.class,
      description = "Force of the checking spring with the valve shut.")
  private Value seatLoad;

  @Option(
      names = "--rate",
      converter = QuantityOption.Stiffness.class,
      description = "Rate of the checking spring.")
  private Value rate;

  @Option(
      names = "--lift",
      converter = QuantityOption.Length.class,
      description = "Valve lift, 0 if not given; needs --rate.")
  private Value lift;

  @Option(
      names = "--valve-mass",
      converter = QuantityOption.Mass.class,
      description = "Mass of the valve and what rides on it, in a head lying chamber down.")
  private Value valveMass;

  @Option(
      names = "--indicator-force",
      converter = QuantityOption.Force.class,
      description = "Force of the dial indicator, positive where it opens the valve.")
  private Value indicatorForce;

  @Override
  FigureAnswer answer() {
    if (!(pressure.si() < MOST_PA)) {
      throw new Refusal(
          "a test pressure is below the room's 101325 Pa, not "
              + pressure
              + ": is its unit right?");
    }
    ValveForce force = ValveForce.of(head.si(), pressure.si(), direction);
    String acts = force.openingN() < 0 ? "shuts" : "opens";
    FigureAnswer answer =
        new FigureAnswer()
            .with("force_n", Math.abs(force.openingN()), "force", "%.2f N")
            .with("acts", acts)
            .line("acts", direction.word() + " " + acts + " the valve");
    if (head.si() > LARGEST_HEAD_M) {
      answer.remark("a valve head of more than 100 mm is unusual: is its unit right?");
    }
    if (seatLoad == null) {
      if (rate != null || lift != null || valveMass != null || indicatorForce != null) {
        throw new Refusal(
            "for a margin give the checking spring: --seat-load, and --rate with --lift");
      }
      return answer;
    }
    double margin = margin(force);
    answer.with("margin_n", margin, "margin", "%+.2f N");
    if (margin < 0) {
      answer.remark(
          "the valve moves by itself: use a stiffer checking spring or less test pressure");
    }
    return answer;
  }

  private double margin(ValveForce force) {
    if (rate == null && lift != null && lift.si() > 0) {
      throw new Refusal("--lift needs the spring's --rate");
    }
    double weight = valveMass == null ? 0 : valveMass.si() * STANDARD_GRAVITY;
    double indicator = indicatorForce == null ? 0 : indicatorForce.si();
    return force.marginN(
        seatLoad.si(),
        rate == null ? 0 : rate.si(),
        lift == null ? 0 : lift.si(),
        weight + indicator);
  }
}
