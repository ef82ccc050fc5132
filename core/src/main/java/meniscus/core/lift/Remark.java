package meniscus.core.lift;

import java.util.List;
import java.util.Objects;
import java.util.stream.DoubleStream;

/**
 * Something to know of a lift point's value: of what kind, and its numbers. {@link RemarkText}
 * makes the sentence.
 *
 * @param kind what is remarked
 * @param name what it is about, or the words of others; empty where the kind says it all
 * @param numbers as the kind's sentence takes them, in SI where it says no other unit
 */
public record Remark(Kind kind, String name, List<Double> numbers) {

  /** What a remark is worth. */
  public enum Weight {
    /** To be read by whoever looks at the point: the verdict or the interval has it already. */
    NOTED,
    /** A sound point is less sure than it looks: a comparison names it. */
    DOUBT,
    /** The flow lies outside what the bench was calibrated for. */
    BEYOND_CALIBRATION
  }

  /** The kinds. */
  public enum Kind {
    /** A person read drop or test pressure; name: which. */
    READ_BY_EYE(Weight.NOTED),
    /** Blowing without a thermometer in the plenum. */
    MOTOR_HEAT_ASSUMED(Weight.NOTED),
    /** A reading of the air has gone silent; name: which; number: for how long [s]. */
    AIR_MISSING(Weight.DOUBT),
    /** The drop is hardly one; numbers: drop and noise of its gauge [Pa]. */
    DROP_IN_THE_NOISE(Weight.DOUBT),
    /** The drop lies outside the flow element's curve; number: drop [Pa]. */
    BEYOND_THE_CURVE(Weight.BEYOND_CALIBRATION),
    /** … or outside what was calibrated; numbers: drop, lowest, highest [Pa]. */
    BEYOND_THE_CALIBRATION(Weight.BEYOND_CALIBRATION),
    /** The room pressure is odd for the bench's height; name: what is odd. */
    BAROMETER(Weight.DOUBT),
    /** The air is out of its formula's stated range; numbers: temperature [°C], pressure [hPa]. */
    AIR_OUT_OF_RANGE(Weight.DOUBT),
    /** A person set the point aside afterwards; name: because. */
    SET_ASIDE(Weight.NOTED),
    /** A reason of the verdict, or a sentence of an earlier version; name: the sentence. */
    SAID(Weight.NOTED);

    private final Weight weight;

    Kind(Weight weight) {
      this.weight = weight;
    }

    public Weight weight() {
      return weight;
    }
  }

  public Remark {
    Objects.requireNonNull(kind);
    Objects.requireNonNull(name);
    numbers = List.copyOf(numbers);
  }

  public static Remark of(Kind kind, double... numbers) {
    return about(kind, "", numbers);
  }

  public static Remark about(Kind kind, String name, double... numbers) {
    return new Remark(kind, name, DoubleStream.of(numbers).boxed().toList());
  }

  public static Remark said(String sentence) {
    return about(Kind.SAID, sentence);
  }

  public Weight weight() {
    return kind.weight();
  }

  /** For people, and as it is written in points.csv. */
  public String sentence() {
    return RemarkText.sentence(this);
  }
}
