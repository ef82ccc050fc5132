package meniscus.recorder.cli.figure;

import meniscus.core.air.AirState;
import meniscus.core.flow.AirSpeed;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.QuantityOption;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure mach-index}: whether the inlet valves choke an engine. */
@Command(
    name = "mach-index",
    description = {
      "Inlet Mach index after C. F. Taylor: piston area times mean piston speed over the inlet",
      "valves' mean effective area times the speed of sound."
    },
    footer = {
      "",
      "The area is the effective one (CdA) of all inlet valves, averaged over the time they are open:",
      "from a lift test's effective areas and the cam's lift curve. Above 0.5 to 0.6 volumetric",
      "efficiency falls in engines with ordinary timing; ram pipes and long overlap shift it.",
      "",
      "Example:",
      "  meniscus figure mach-index --bore \"4 in\" --stroke \"3.5 in\" --rpm 6500 \\",
      "      --area \"723 mm2\" --temperature \"20 degC\""
    })
final class FigureMachIndex extends FigureCommand.Question {

  /** Where volumetric efficiency begins to fall: 0.5 and 0.6, see {@link AirSpeed#machIndex}. */
  private static final double FALLS = 0.5;

  private static final double MOST_RPM = 30_000;

  /** Racing engines reach some 26 m/s (from memory) [m/s]. */
  private static final double MOST_PISTON_SPEED = 30;

  @Option(
      names = "--bore",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Bore of the cylinder.")
  private Value bore;

  @Option(
      names = "--stroke",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Stroke of the piston.")
  private Value stroke;

  @Option(names = "--rpm", required = true, description = "Revolutions of the crank a minute.")
  private double rpm;

  @Option(
      names = "--area",
      required = true,
      converter = QuantityOption.Area.class,
      description = "Mean effective area of all inlet valves of the cylinder.")
  private Value area;

  @Option(
      names = "--temperature",
      required = true,
      converter = QuantityOption.Temperature.class,
      description = "Temperature of the air in the inlet.")
  private Value temperature;

  @Override
  FigureAnswer answer() {
    if (!(rpm > 0 && rpm <= MOST_RPM)) {
      throw new Refusal("--rpm lies between 0 and 30000, not " + rpm);
    }
    // The speed of sound hardly knows pressure, and humidity to 0.3 %.
    AirState inlet = AirState.dry(temperature.si(), 101_325);
    double index =
        AirSpeed.machIndex(bore.si(), stroke.si(), rpm / 60, area.si(), inlet.soundSpeed());
    FigureAnswer answer =
        new FigureAnswer()
            .with("mach_index", index, "inlet Mach index", "%.3f")
            .with(
                "piston_speed_m_per_s", 2 * stroke.si() * rpm / 60, "mean piston speed", "%.2f m/s")
            .with("sound_speed_m_per_s", inlet.soundSpeed(), "speed of sound", "%.1f m/s")
            .remarks(inlet.warnings());
    if (2 * stroke.si() * rpm / 60 > MOST_PISTON_SPEED) {
      answer.remark("a mean piston speed above 30 m/s is beyond all engines: are the units right?");
    }
    if (index > FALLS) {
      answer.remark(
          "above 0.5 to 0.6 volumetric efficiency falls (engines with ordinary timing): the valves"
              + " are small for this speed");
    }
    if (index > 1) {
      answer.remark("above 1 the quasi-steady picture behind the index does not hold");
    }
    return answer;
  }
}
