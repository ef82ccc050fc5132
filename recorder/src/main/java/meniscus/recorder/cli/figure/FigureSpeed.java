package meniscus.recorder.cli.figure;

import meniscus.core.air.AirState;
import meniscus.core.flow.AirSpeed;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.QuantityOption;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure speed}: mean speed through an area, or local speed at a probe. */
@Command(
    name = "speed",
    description = {
      "Mean speed of a flow through an area, or the local speed at a probe.",
      "A probe gives total less static pressure (pitot tube); subsonic and isentropic."
    },
    footer = {
      "",
      "The mean says nothing of where the air goes: on a short side half of it may stand still. The",
      "flow has to be that of the air at the area, not reduced to other air. A probe reads true only",
      "where the air meets it head-on (within some 10 degrees, from memory) and is in its way itself.",
      "",
      "Examples:",
      "  meniscus figure speed --flow \"250 cfm\" --area \"2.2 in2\"",
      "  meniscus figure speed --probe \"24 inH2O\" --static \"98000 Pa\" \\",
      "      --temperature \"20 degC\" --humidity 50%%"
    })
final class FigureSpeed extends FigureCommand.Question {

  private static final double FOOT_M = 0.3048;

  /** Mach 0.3, where density has fallen by 4.4 % (isentropic, κ 1.4). */
  private static final double COMPRESSES_M_PER_S = 100;

  @Option(
      names = "--flow",
      converter = QuantityOption.VolumeFlow.class,
      description = "Volume flow of the air at the area.")
  private Value flow;

  @Option(
      names = "--area",
      converter = QuantityOption.Area.class,
      description = "Area across the stream.")
  private Value area;

  @Option(
      names = "--probe",
      converter = QuantityOption.Pressure.class,
      description = "The probe's total less static pressure.")
  private Value probe;

  @Option(
      names = "--static",
      converter = QuantityOption.Pressure.class,
      description = "Absolute static pressure at the probe.")
  private Value still;

  @Option(
      names = "--temperature",
      converter = QuantityOption.Temperature.class,
      description = "Temperature of the air in the room it comes from.")
  private Value temperature;

  @Option(
      names = "--humidity",
      converter = QuantityOption.Ratio.class,
      description = "Relative humidity there, 0%% to 100%%.")
  private Value humidity;

  @Override
  FigureAnswer answer() {
    if (probe == null && flow != null && area != null) {
      double mean = AirSpeed.mean(flow.si(), area.si());
      FigureAnswer answer =
          speed(mean, "mean speed")
              .remark("mean over the area; where the stream separates, part of it is much faster");
      return mean > COMPRESSES_M_PER_S
          ? answer.remark(
              "above 100 m/s air compresses: the flow has to be that of the thinner air at the area;"
                  + " above some 340 m/s area or flow is wrong")
          : answer;
    }
    if (probe == null || flow != null || area != null) {
      throw new Refusal(
          "give --flow and --area for a mean, or --probe, --static, --temperature and --humidity for"
              + " the speed at a probe");
    }
    if (still == null || temperature == null || humidity == null) {
      throw new Refusal("--probe needs --static, --temperature and --humidity");
    }
    AirState room = new AirState(temperature.si(), still.si(), humidity.si());
    double mach = AirSpeed.atProbe(room, probe.si()).mach();
    // The room's air is at rest; moving, it is colder: T = T0/(1 + (κ−1)/2 M²).
    double moving = temperature.si() / (1 + (room.kappa() - 1) / 2 * mach * mach);
    AirState there = room.movedTo(moving, still.si());
    AirSpeed.AtProbe at = AirSpeed.atProbe(there, probe.si());
    return speed(at.speed(), "speed at the probe")
        .with("mach", at.mach(), "Mach number", "%.4f")
        .remark("local: one place of the stream, and only where the air meets the probe head-on")
        .remarks(room.warnings());
  }

  private static FigureAnswer speed(double metresPerSecond, String label) {
    return new FigureAnswer()
        .with("speed_m_per_s", metresPerSecond)
        .line(label, Text.of("%.2f m/s (%.1f ft/s)", metresPerSecond, metresPerSecond / FOOT_M));
  }
}
