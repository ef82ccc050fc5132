package meniscus.core.remark;

import java.util.List;
import java.util.Objects;
import java.util.stream.DoubleStream;

/**
 * Something to know of a value: of what kind, and its numbers.
 *
 * @param kind what is remarked
 * @param names what it is about, or the words of others; empty where the kind says it all
 * @param numbers as the kind's sentence takes them, in SI where it says no other unit
 */
public record Remark(Kind kind, List<String> names, List<Double> numbers) {

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

    // Why a reading is faulty.

    /** Numbers: spikes and readings. */
    SPIKES,
    /** Number: longest gap [s]. */
    DROPPING_OUT,
    /** Number: share [%]. */
    READINGS_MISSING,
    /** Numbers: those outside and all readings. */
    OUTSIDE_THE_RANGE,
    /** Name: high or low; numbers: readings at that end, and all. */
    SATURATED,
    /** Name: most or least; numbers: readings there, all, and the value. */
    CLIPPED,
    /** Numbers: the value, for how long [s], the gauge's resolution. */
    STUCK,
    /** At one value or another; numbers: for how long [s], the gauge's resolution. */
    STUCK_SOMEWHERE,
    /** A flow, which has no resolution of its own; number: for how long [s]. */
    FLOW_STANDS_STILL,
    /** Names: the gauge, and its unit twice; numbers: value, for how long [s], smallest step. */
    FROZEN,

    // How far a reading is.

    /** Numbers: usable and needed time [s]. */
    TOO_BRIEF,
    /** Number: needed time [s]. */
    NOTHING_USABLE,
    /** Numbers: used time, and what a full verdict takes [s]. */
    SWITCHING_MAY_BE_MISSED,
    /** Numbers: used time, and what tells slow fluctuation [s]. */
    TOO_BRIEF_ALONE,
    /** Numbers: half widths asked and reached [%]. */
    NOT_PRECISE,

    // How the air behaves.

    /** Numbers: lower and higher level [% of the mean], share [%], both stays [s], jumps. */
    JUMPS,
    /** Number: so far [%]. */
    LEVEL_MOVED,
    /** Number: still to go [%]. */
    LEVEL_MOVES,
    NOT_TOLD_FROM_ZERO,
    /** Numbers: times the calm record's, and the limit. */
    ROUGH,
    /** Likewise. */
    ROUGH_QUICKLY,
    /** Likewise. */
    ROUGH_SLOWLY,
    /** Number: by how much [%]. */
    LEVEL_WANDERS,
    /** Numbers: second to second and block to block, and the most that is healthy of both [%]. */
    WANDERS_UNHEALTHILY,
    NO_CALM_RECORD,
    UNLIKE_THE_CALM_RECORD,
    /** Numbers: relative size [%], and where it is seen [Hz]. */
    MAINS_RIPPLE,

    // What of a reading could not be seen.

    /** Numbers: spikes and readings. */
    SPIKES_CUT,
    /** Numbers: share [%] and longest gap [s]. */
    READINGS_DROPPED,
    /** Number: step [%]. */
    COARSE_GAUGE,
    /** Number: fastest fluctuation seen [Hz]. */
    SLOW_GAUGE,
    /** Number: largest jump overlooked [%]. */
    COULD_HIDE,
    /** Numbers: readings a second, mains [Hz]. */
    MAINS_COULD_SHIFT,
    /** Numbers: readings a second, mains [Hz], the swing it would look like [Hz]. */
    MAINS_COULD_SWING,

    /** A sentence of an earlier version; name: the sentence. */
    SAID;

    private final Weight weight;

    Kind() {
      this(Weight.NOTED);
    }

    Kind(Weight weight) {
      this.weight = weight;
    }

    public Weight weight() {
      return weight;
    }
  }

  public Remark {
    Objects.requireNonNull(kind);
    names = List.copyOf(names);
    numbers = List.copyOf(numbers);
  }

  public static Remark of(Kind kind, double... numbers) {
    return new Remark(kind, List.of(), boxed(numbers));
  }

  public static Remark about(Kind kind, String name, double... numbers) {
    return new Remark(kind, List.of(name), boxed(numbers));
  }

  private static List<Double> boxed(double... numbers) {
    return DoubleStream.of(numbers).boxed().toList();
  }

  public static Remark said(String sentence) {
    return about(Kind.SAID, sentence);
  }

  public Weight weight() {
    return kind.weight();
  }
}
