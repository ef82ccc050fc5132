package meniscus.recorder.cli.figure;

import meniscus.core.air.AirState;
import meniscus.core.flow.MeterFlow;
import meniscus.core.flow.ThroatMeter;
import meniscus.core.quantity.Value;
import meniscus.recorder.cli.terminal.QuantityOption;
import picocli.CommandLine.Option;

/** A question about something with a throat in a pipe. */
abstract class FigureThroat extends FigureCommand.Question {

  @Option(
      names = "--throat",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Diameter of the throat.")
  private Value throat;

  @Option(
      names = "--pipe",
      required = true,
      converter = QuantityOption.Length.class,
      description = "Inside diameter of the pipe upstream.")
  private Value pipe;

  @Option(
      names = "--drop",
      required = true,
      converter = QuantityOption.Pressure.class,
      description = "Pressure drop from the pipe to the throat's tap.")
  private Value drop;

  @Option(
      names = "--upstream",
      required = true,
      converter = QuantityOption.Pressure.class,
      description = "Absolute pressure upstream.")
  private Value upstream;

  @Option(
      names = "--temperature",
      required = true,
      converter = QuantityOption.Temperature.class,
      description = "Air temperature upstream.")
  private Value temperature;

  @Option(
      names = "--humidity",
      required = true,
      converter = QuantityOption.Ratio.class,
      description = "Relative humidity upstream, 0%% to 100%%.")
  private Value humidity;

  abstract ThroatMeter meter();

  @Override
  FigureAnswer answer() {
    ThroatMeter meter = meter();
    AirState air = new AirState(temperature.si(), upstream.si(), humidity.si());
    MeterFlow flow = meter.flow(throat.si(), pipe.si(), air, drop.si());
    FigureAnswer answer = FigurePlate.factors(flow).with("standard", meter.standard() + ":2003");
    return FigurePlate.flow(answer, flow, air).remarks(flow.broken()).remarks(air.warnings());
  }
}
