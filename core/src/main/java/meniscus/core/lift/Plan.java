package meniscus.core.lift;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Coded;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;

/**
 * One lift test as it is meant to be run.
 *
 * @param setUp everything around the head
 * @param ladder rungs in the order of the test
 * @param range name of the bench's range, empty for its first
 */
public record Plan(
    Subject subject,
    TestSetUp setUp,
    Aim aim,
    List<Rung> ladder,
    Keeping keeping,
    Optional<String> range,
    Shown shown) {

  /**
   * What is tested.
   *
   * @param port intake or exhaust
   * @param changes what was altered on the part since the earlier test
   */
  public record Subject(Part part, PortKind port, List<ChangeNote> changes) {
    public Subject {
      Objects.requireNonNull(part);
      Objects.requireNonNull(port);
      changes = List.copyOf(changes);
    }
  }

  /**
   * What the blower is to hold.
   *
   * @param direction which way the air is moved
   * @param testPressurePa positive whatever the direction [Pa]
   * @param band how far the test pressure may be from it for a point to be kept [1]
   * @param shortPressure what to do where the blower cannot reach it
   */
  public record Aim(
      Direction direction, double testPressurePa, double band, ShortPressure shortPressure) {
    public Aim {
      Objects.requireNonNull(direction);
      Objects.requireNonNull(shortPressure);
      if (!(testPressurePa > 0) || !(band > 0 && band < 1)) {
        throw new Refusal(
            "the test pressure must be positive and the aim band a share between 0 and 1");
      }
    }
  }

  /**
   * When a rung is kept.
   *
   * @param toleranceM how far the read lift may be from the asked lift [m]
   * @param target asked relative half-width of the 95 % repeat interval of a point [1]
   * @param longestSeconds a rung is not averaged longer than this [s]
   */
  public record Keeping(double toleranceM, double target, double longestSeconds) {
    public Keeping {
      if (!(toleranceM > 0) || !(target > 0 && target < 1) || !(longestSeconds > 0)) {
        throw new Refusal("tolerance, target and longest time of a lift must be positive");
      }
    }
  }

  /**
   * How results are shown.
   *
   * @param units what people read and write
   * @param reference air and test pressure that flows are reported for
   */
  public record Shown(Units units, Reference reference) {}

  /**
   * The part, from the whole to the cut.
   *
   * @param chamber which one: its name does not change with what is done to it
   * @param state of the chamber and the port, in words: as cast, blended
   * @param sizes that were measured
   */
  public record Part(
      String head,
      String chamber,
      String port,
      String valveJob,
      String customerReference,
      String state,
      Sizes sizes) {

    public Part(
        String head, String chamber, String port, String valveJob, String customerReference) {
      this(head, chamber, port, valveJob, customerReference, "", Sizes.UNKNOWN);
    }
  }

  /**
   * @param portM3 volume of the port, when measured [m³]
   * @param chamberM3 volume of the chamber, when measured [m³]
   */
  public record Sizes(OptionalDouble portM3, OptionalDouble chamberM3) {
    public static final Sizes UNKNOWN = new Sizes(OptionalDouble.empty(), OptionalDouble.empty());
  }

  /** Units on screen and in points.csv. */
  public record Units(Unit lift, Unit flow, Unit pressure) {}

  /**
   * The conditions that volume flows are reported for.
   *
   * @param temperatureK of the air [K]
   * @param pressurePa of the air, absolute [Pa]
   * @param relativeHumidity of the air, 0 to 1
   * @param testPressurePa across the port [Pa]
   */
  public record Reference(
      double temperatureK, double pressurePa, double relativeHumidity, double testPressurePa) {

    /** The air that flows are reported in. */
    public AirState air() {
      return new AirState(temperatureK, pressurePa, relativeHumidity);
    }
  }

  /**
   * What was altered on the part.
   *
   * @param what done, in words
   * @param where on the port
   * @param before how it was, when known
   * @param after how it is, when known
   * @param left what remains there, when it was measured
   * @param expect what it is expected to do, said before the test
   */
  public record ChangeNote(
      String what,
      String where,
      Optional<Amount> before,
      Optional<Amount> after,
      Optional<Left> left,
      Optional<Expectation> expect) {
    public ChangeNote {
      Objects.requireNonNull(left);
      Objects.requireNonNull(expect);
      if (before.isPresent()
          && after.isPresent()
          && !before.get().dimension().equals(after.get().dimension())) {
        throw new Refusal(
            "before is \""
                + before.get().text()
                + "\" and after \""
                + after.get().text()
                + "\": give both as the same kind of thing");
      }
    }

    /** Of a length, without a word on what is left. */
    public ChangeNote(
        String what,
        String where,
        OptionalDouble beforeM,
        OptionalDouble afterM,
        Optional<Expectation> expect) {
      this(what, where, length(beforeM), length(afterM), Optional.empty(), expect);
    }

    public ChangeNote(String what, String where, OptionalDouble beforeM, OptionalDouble afterM) {
      this(what, where, beforeM, afterM, Optional.empty());
    }

    private static Optional<Amount> length(OptionalDouble metres) {
      return metres.isPresent()
          ? Optional.of(Amount.ofMetres(metres.getAsDouble()))
          : Optional.empty();
    }

    /** How long it was [m]; empty unless a length was measured. */
    public OptionalDouble beforeM() {
      return before.map(Amount::metres).orElse(OptionalDouble.empty());
    }

    /** How long it is [m]; empty unless a length was measured. */
    public OptionalDouble afterM() {
      return after.map(Amount::metres).orElse(OptionalDouble.empty());
    }
  }

  /**
   * What remains where metal was taken off: of a guide's length, of a wall.
   *
   * @param metres measured [m]
   * @param atLeastM what is to remain, as the maker or the shop says [m]; empty when nobody said
   */
  public record Left(double metres, OptionalDouble atLeastM) {
    public Left {
      if (!(metres >= 0)) {
        throw new Refusal("what is left cannot be less than nothing");
      }
    }

    public boolean tooLittle() {
      return atLeastM.isPresent() && metres < atLeastM.getAsDouble();
    }
  }

  /**
   * What a change is expected to do.
   *
   * @param fromLiftM from this lift on [m]; 0 for all lifts
   */
  public record Expectation(Effect effect, double fromLiftM) {

    /** What the flow is expected to do. */
    public enum Effect implements Coded {
      GAIN,
      LOSS,
      NONE;
    }

    public Expectation {
      Objects.requireNonNull(effect);
      if (!(fromLiftM >= 0 && fromLiftM < 0.1)) {
        throw new Refusal("what a change is expected to do begins at a lift between 0 and 100 mm");
      }
    }
  }

  public Plan {
    Objects.requireNonNull(subject);
    Objects.requireNonNull(setUp);
    Objects.requireNonNull(aim);
    Objects.requireNonNull(keeping);
    Objects.requireNonNull(shown);
    ladder = List.copyOf(ladder);
    if (ladder.isEmpty()) {
      throw new Refusal("the plan has no lift: give at least one");
    }
  }

  public Plan with(Subject other) {
    return new Plan(other, setUp, aim, ladder, keeping, range, shown);
  }

  public Plan with(TestSetUp other) {
    return new Plan(subject, other, aim, ladder, keeping, range, shown);
  }

  public Plan with(List<Rung> otherLadder) {
    return new Plan(subject, setUp, aim, otherLadder, keeping, range, shown);
  }

  /** The same with the air going the other way. */
  public Plan otherWay() {
    Aim turned = new Aim(aim.direction.other(), aim.testPressurePa, aim.band, aim.shortPressure);
    return new Plan(subject, setUp, turned, ladder, keeping, range, shown);
  }

  /** Which way the air goes on a sweep. */
  public Direction direction(Sweep sweep) {
    return sweep.plansWay() ? aim.direction : aim.direction.other();
  }

  /** The test pressure asked for at a rung [Pa]. */
  public double aimPa(Rung rung) {
    return rung.testPressurePa().orElse(aim.testPressurePa());
  }

  public Part part() {
    return subject.part();
  }

  public PortKind port() {
    return subject.port();
  }

  /** True for a rung that is no point of flow over lift: the return, one at its own pressure. */
  public boolean asideOfTheCurve(int rung) {
    return ladder.stream()
        .anyMatch(r -> r.number() == rung && (r.returnRung() || r.testPressurePa().isPresent()));
  }

  public List<ChangeNote> changes() {
    return subject.changes();
  }

  public Direction direction() {
    return aim.direction();
  }

  public double testPressurePa() {
    return aim.testPressurePa();
  }

  public double aimBand() {
    return aim.band();
  }

  public ShortPressure shortPressure() {
    return aim.shortPressure();
  }

  public double toleranceM() {
    return keeping.toleranceM();
  }

  public double target() {
    return keeping.target();
  }

  public double longestSeconds() {
    return keeping.longestSeconds();
  }

  public Units units() {
    return shown.units();
  }

  public Reference reference() {
    return shown.reference();
  }
}
