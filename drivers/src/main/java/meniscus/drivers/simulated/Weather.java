package meniscus.drivers.simulated;

import java.util.SplittableRandom;

/** Air of the room: wanders slowly, and is warmed by the blower. */
final class Weather {

  static final double STEP_S = 0.5;

  private final Scenario.Room mean;
  private final double scale;
  private final Wander temperature;
  private final Wander pressure;
  private final Wander humidity;
  private double warmedK;

  Weather(Scenario.Room mean, double scale, SplittableRandom random) {
    this.mean = mean;
    this.scale = scale;
    temperature = new Wander(random.split(), mean.wanderS(), STEP_S);
    pressure = new Wander(random.split(), 3 * mean.wanderS(), STEP_S);
    humidity = new Wander(random.split(), mean.wanderS(), STEP_S);
  }

  void step(double motorWarmsK) {
    temperature.step();
    pressure.step();
    humidity.step();
    warmedK = motorWarmsK;
  }

  void anotherDay() {
    temperature.drawAnew();
    pressure.drawAnew();
    humidity.drawAnew();
  }

  double temperatureK() {
    return mean.temperatureK() + scale * mean.temperatureSpreadK() * temperature.value() + warmedK;
  }

  double pressurePa() {
    return mean.pressurePa() + scale * mean.pressureSpreadPa() * pressure.value();
  }

  double humidity() {
    double wandered = mean.humidity() + scale * mean.humiditySpread() * humidity.value();
    return Math.max(0.05, Math.min(wandered, 0.95));
  }

  Air air() {
    return Air.room(temperatureK(), pressurePa(), humidity());
  }
}
