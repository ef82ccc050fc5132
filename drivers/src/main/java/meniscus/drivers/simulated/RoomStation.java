package meniscus.drivers.simulated;

import java.nio.ByteBuffer;
import java.util.SplittableRandom;
import meniscus.core.quantity.Unit;

/** The room-air station of the shipped sheet: answers {@code AIR?}. */
final class RoomStation {

  static final String ID = "room-air-station";

  private static final double NOISE_K = 0.01;
  private static final double NOISE_PA = 2;
  private static final double NOISE_HUMIDITY = 0.001;

  private final InstrumentWire wire = new InstrumentWire();
  private final AsciiLine line = new AsciiLine();
  private final StringBuilder question = new StringBuilder();
  private final Scenario.Station station;
  private final double scale;
  private final double noise;
  private final Weather weather;
  private final SplittableRandom random;

  RoomStation(Scenario scenario, Weather weather, SplittableRandom random) {
    station = scenario.station();
    scale = scenario.scale(Effect.STATION_ERROR);
    noise = scenario.scale(Effect.GAUGE_NOISE);
    this.weather = weather;
    this.random = random;
  }

  void received(long nowNanos, ByteBuffer bytes) {
    while (bytes.hasRemaining()) {
      char next = (char) (bytes.get() & 0xff);
      if (next != '\n') {
        question.append(next);
        continue;
      }
      if (question.toString().equals("AIR?\r")) {
        wire.send(nowNanos + Math.round(station.answerS() * 1e9), answer());
      }
      question.setLength(0);
    }
  }

  private byte[] answer() {
    line.text("T=").number(Unit.DEGREE_CELSIUS.fromSi(temperatureK()), 2, false);
    line.text(";P=").number(Unit.HECTOPASCAL.fromSi(pressurePa()), 2, false);
    line.text(";H=").number(Unit.PERCENT.fromSi(humidity()), 1, false);
    int check = line.crc();
    return line.text("*").hex(check, 4).text("\r\n").take();
  }

  private double temperatureK() {
    return weather.temperatureK()
        + scale * station.temperatureErrorK()
        + noise * NOISE_K * random.nextGaussian();
  }

  private double pressurePa() {
    return weather.pressurePa()
        + scale * station.pressureErrorPa()
        + noise * NOISE_PA * random.nextGaussian();
  }

  private double humidity() {
    double shown =
        weather.humidity()
            + scale * station.humidityError()
            + noise * NOISE_HUMIDITY * random.nextGaussian();
    return Math.max(0, Math.min(shown, 1));
  }

  InstrumentWire wire() {
    return wire;
  }
}
