package meniscus.recorder.file;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.Rung;
import meniscus.core.lift.ShortPressure;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestSetUp;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.refusal.Refusal;

/**
 * An orifice plate in the head's place, and what is to be read of it.
 *
 * @param name as written on it
 * @param papers what tells it from all other plates
 * @param bevel where its bevelled side looks
 * @param asked what is to be read
 * @param units that people read and write
 */
public record PlateMounted(
    String name, Plate.Papers papers, PlateReading.Bevel bevel, Asked asked, UnitSystem units) {

  /**
   * What is to be read of a plate.
   *
   * @param direction which way the air is moved
   * @param range of the bench that is used
   * @param testPressuresPa each is read once, in this order [Pa]
   * @param target relative half-width of the mean that ends a reading [1]
   * @param longestSeconds of a reading [s]
   */
  public record Asked(
      Direction direction,
      String range,
      List<Double> testPressuresPa,
      double target,
      double longestSeconds) {

    public Asked {
      Objects.requireNonNull(direction);
      testPressuresPa = List.copyOf(testPressuresPa);
      if (testPressuresPa.isEmpty()) {
        throw new Refusal("a plate is read at one test pressure or more");
      }
    }
  }

  /** How far a test pressure may be from the one asked for (our own choice) [1]. */
  public static final double BAND = 0.05;

  /** What flows are reported for [Pa]. */
  private static final double REFERENCE_PA = 28 * Unit.INCH_OF_WATER.factor();

  public PlateMounted {
    Objects.requireNonNull(papers);
    Objects.requireNonNull(bevel);
    Objects.requireNonNull(asked);
    Objects.requireNonNull(units);
  }

  /** Which way the air is moved. */
  public Direction direction() {
    return asked.direction();
  }

  /** Number of the rung at which a test pressure is read. */
  public int rung(double testPressurePa) {
    return asked.testPressuresPa().indexOf(testPressurePa) + 1;
  }

  /** True when both are the same thing, wherever they were read. */
  public boolean sameThing(PlateMounted other) {
    return papers.serial().isPresent() && other.papers.serial().isPresent()
        ? papers.serial().equals(other.papers.serial())
            && papers.certificate().equals(other.papers.certificate())
        : name.equals(other.name) && papers.certificate().equals(other.papers.certificate());
  }

  /** As a plan: a rung for each test pressure, at no lift, of no valve. */
  public Plan plan() {
    List<Rung> ladder = new ArrayList<>();
    for (double pressure : asked.testPressuresPa()) {
      ladder.add(new Rung(ladder.size() + 1, 0, Sweep.OPENING, OptionalDouble.of(pressure), false));
    }
    return new Plan(
        new Plan.Subject(
            new Plan.Part("plate " + name, "", "", "", ""), PortKind.INTAKE, List.of()),
        new TestSetUp(
            TestSetUp.Valves.NONE,
            OptionalDouble.empty(),
            Optional.empty(),
            new TestSetUp.Fitted(SetUpForm.BARE, SetUpForm.BARE, ""),
            new TestSetUp.Indicator("", OptionalDouble.empty())),
        new Plan.Aim(asked.direction(), asked.testPressuresPa().get(0), BAND, ShortPressure.KEEP),
        ladder,
        new Plan.Keeping(
            1e-3, asked.target(), asked.longestSeconds()), // of a lift that nobody sets
        Optional.of(asked.range()),
        new Plan.Shown(
            new Plan.Units(
                units.unit(Dimension.LENGTH),
                units.unit(Dimension.VOLUME_FLOW),
                units.unit(Dimension.PRESSURE)),
            new Plan.Reference(
                AirState.DRY_20C.temperatureK(),
                AirState.DRY_20C.pressurePa(),
                AirState.DRY_20C.relativeHumidity(),
                REFERENCE_PA)));
  }
}
