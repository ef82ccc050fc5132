package meniscus.recorder.file;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.function.Supplier;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Amount;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.Rung;
import meniscus.core.lift.ShortPressure;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestSetUp;
import meniscus.core.quantity.Unit;

/** Plans out of a seed. */
final class RandomPlan {

  private final Random random;
  private final Plan.Units units;

  RandomPlan(long seed) {
    random = new Random(seed);
    units =
        pick(
            new Plan.Units(Unit.INCH_LENGTH, Unit.CUBIC_FOOT_PER_MINUTE, Unit.INCH_OF_WATER),
            new Plan.Units(Unit.MILLIMETRE, Unit.LITRE_PER_SECOND, Unit.PASCAL),
            new Plan.Units(Unit.MILLIMETRE, Unit.CUBIC_METRE_PER_HOUR, Unit.INCH_OF_WATER_20C));
  }

  Plan plan() {
    double aim = any(7000, Unit.INCH_OF_WATER);
    return new Plan(
        new Plan.Subject(
            new Plan.Part(
                "head " + random.nextInt(),
                pick("", "c"),
                "2",
                "",
                pick("", "job 9"),
                pick("", "as cast"),
                new Plan.Sizes(OptionalDouble.empty(), OptionalDouble.of(pick(6e-5, 7.25e-5)))),
            pick(PortKind.values()),
            changes()),
        setUp(),
        new Plan.Aim(
            pick(Direction.values()),
            aim,
            pick(0.05, random.nextDouble() / 2 + 0.01),
            pick(ShortPressure.values())),
        ladder(),
        new Plan.Keeping(
            any(0.1e-3, units.lift()),
            pick(0.005, 0.001 + random.nextDouble() / 100),
            pick(60.0, 30.5, 1 + random.nextDouble() * 100)),
        maybe(() -> "plate 2"),
        new Plan.Shown(
            units,
            new Plan.Reference(
                any(300, Unit.DEGREE_CELSIUS), any(1e5, Unit.HECTOPASCAL), pick(0.0, 0.36), aim)));
  }

  private List<Plan.ChangeNote> changes() {
    return random.nextBoolean()
        ? List.of()
        : List.of(
            new Plan.ChangeNote("opened", pick("", "bowl"), OptionalDouble.empty(), length(0.024)),
            new Plan.ChangeNote(
                "shortened",
                "guide",
                Optional.of(Amount.of(pick("42 mm", "45 deg", "820 mm2", "61.5 cc", "120 grit"))),
                Optional.empty(),
                Optional.of(new Plan.Left(any(0.03, units.lift()), length(0.028))),
                Optional.empty()),
            new Plan.ChangeNote(
                "blended",
                "",
                length(0.02),
                length(0.021),
                maybe(
                    () ->
                        new Plan.Expectation(
                            pick(Plan.Expectation.Effect.values()),
                            pick(0.0, any(8e-3, units.lift()))))));
  }

  private TestSetUp setUp() {
    int opened = 1 + random.nextInt(2);
    List<Double> heads = new ArrayList<>();
    for (int i = 0; i < opened; i++) {
      heads.add(any(0.04, units.lift()));
    }
    return new TestSetUp(
        new TestSetUp.Valves(
            opened + random.nextInt(2),
            opened,
            heads,
            maybe(
                () ->
                    new TestSetUp.Seat(
                        maybe(() -> any(0.04, units.lift()))
                            .map(OptionalDouble::of)
                            .orElse(OptionalDouble.empty()),
                        any(2e-3, units.lift()),
                        Math.toRadians(45),
                        0.03,
                        0.006)),
            maybe(
                () ->
                    new TestSetUp.Spring(any(40, Unit.POUND_FORCE), 6000, 0.062, pick(0.0, -0.6)))),
        random.nextBoolean()
            ? OptionalDouble.empty()
            : OptionalDouble.of(random.nextDouble() / 900),
        maybe(() -> new TestSetUp.Adapter(any(0.09, units.lift()), 0.1, pick(0.0, 0.002))),
        new TestSetUp.Fitted(
            pick("bare", "radius", "clay", "manifold"), pick("bare", "pipe"), pick("", "plug")),
        new TestSetUp.Indicator(
            pick("", "retainer"),
            pick(OptionalDouble.empty(), OptionalDouble.of(any(0.03e-3, units.lift())))));
  }

  /** One sweep, both, with and without a return rung, and rungs of their own test pressure. */
  private List<Rung> ladder() {
    int count = 1 + random.nextInt(12);
    List<Double> lifts = new ArrayList<>();
    double lift = 0;
    for (int i = 0; i < count; i++) {
      lift += any(1.5e-3, units.lift());
      lifts.add(random.nextBoolean() ? lift : units.lift().toSi(units.lift().fromSi(lift)));
    }
    boolean closing = random.nextInt(3) == 0;
    boolean both = !closing && random.nextBoolean();
    boolean own = random.nextInt(3) == 0;
    List<Rung> rungs = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      double at = lifts.get(closing ? count - 1 - i : i);
      rungs.add(rung(rungs, at, closing ? Sweep.CLOSING : Sweep.OPENING, own, false));
    }
    for (int i = count - 2; both && i >= 0; i--) {
      rungs.add(rung(rungs, lifts.get(i), Sweep.CLOSING, own, false));
    }
    if (random.nextBoolean()) {
      Rung taken = rungs.get(random.nextInt(rungs.size()));
      rungs.add(rung(rungs, taken.liftM(), taken.sweep(), false, true));
    }
    return rungs;
  }

  private Rung rung(List<Rung> before, double lift, Sweep sweep, boolean own, boolean returns) {
    OptionalDouble pressure =
        own && random.nextBoolean()
            ? OptionalDouble.of(any(6000, Unit.INCH_OF_WATER))
            : OptionalDouble.empty();
    return new Rung(before.size() + 1, lift, sweep, pressure, returns);
  }

  private OptionalDouble length(double about) {
    return OptionalDouble.of(any(about, units.lift()));
  }

  /** From half to the whole of {@code about} [SI], as typed in a unit or any double. */
  private double any(double about, Unit unit) {
    double any = about * (0.5 + random.nextDouble() / 2);
    return random.nextBoolean()
        ? any
        : unit.toSi(Double.parseDouble(String.format(Locale.ROOT, "%.3g", unit.fromSi(any))));
  }

  @SafeVarargs
  private <T> T pick(T... values) {
    return values[random.nextInt(values.length)];
  }

  private <T> Optional<T> maybe(Supplier<T> make) {
    return random.nextBoolean() ? Optional.of(make.get()) : Optional.empty();
  }
}
