package meniscus.recorder.cli.figure;

import meniscus.core.air.AirState;
import meniscus.core.air.Barometer;
import meniscus.core.quantity.Value;
import meniscus.recorder.cli.terminal.QuantityOption;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code figure air}: properties of moist air. */
@Command(
    name = "air",
    description = {
      "Density, viscosity, speed of sound and ratio of specific heats of moist air.",
      "Density by CIPM-2007, the rest by IEC 61094-2:2009 annex F."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus figure air --temperature \"23 degC\" --pressure \"101325 Pa\" \\",
      "      --humidity 50%%",
      "  meniscus figure air --temperature \"72 degF\" --pressure \"28.6 inHg\" \\",
      "      --humidity 40%% --altitude \"1200 ft\""
    })
final class FigureAir extends FigureCommand.Question {

  @Option(
      names = "--temperature",
      required = true,
      converter = QuantityOption.Temperature.class,
      description = "Dry-bulb temperature.")
  private Value temperature;

  @Option(
      names = "--pressure",
      required = true,
      converter = QuantityOption.Pressure.class,
      description = "Absolute pressure at the bench (station pressure, not reduced to sea level).")
  private Value pressure;

  @Option(
      names = "--humidity",
      required = true,
      converter = QuantityOption.Ratio.class,
      description = "Relative humidity, 0%% to 100%%.")
  private Value humidity;

  @Option(
      names = "--altitude",
      converter = QuantityOption.Length.class,
      description = "Height above sea level: the pressure is checked against it.")
  private Value altitude;

  @Override
  FigureAnswer answer() {
    AirState air = new AirState(temperature.si(), pressure.si(), humidity.si());
    FigureAnswer answer =
        new FigureAnswer()
            .with("density_kg_per_m3", air.density(), "density", "%.5f kg/m3")
            .with("viscosity_pa_s", air.viscosity(), "viscosity", "%.4e Pa s")
            .with("sound_speed_m_per_s", air.soundSpeed(), "speed of sound", "%.2f m/s")
            .with("kappa", air.kappa(), "ratio of specific heats", "%.5f")
            .with("gas_constant_j_per_kg_k", air.gasConstant(), "gas constant", "%.2f J/(kg K)")
            .with("extrapolated", !air.warnings().isEmpty())
            .remarks(air.warnings());
    if (altitude != null) {
      Barometer.doubt(pressure.si(), altitude.si()).ifPresent(answer::remark);
    }
    return answer;
  }
}
