package meniscus.core.compare;

import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.refusal.Refusal;

/**
 * What is asked of a comparison.
 *
 * @param margin changes smaller than this share of the flow are no real change [1]; empty: the
 *     smallest difference that this bench can decide, lift by lift, but at most twice the
 *     resolution
 * @param resolution the difference that repeats are counted for [1]
 * @param despite why tests are compared although their set-ups differ, in the operator's words
 * @param interpolate true: lifts that the after side lacks are interpolated
 * @param falseClaim chance of one false gain or loss, or more, in the comparison; the same for no
 *     real change [1]
 */
public record Question(
    OptionalDouble margin,
    double resolution,
    Optional<String> despite,
    boolean interpolate,
    double falseClaim) {

  /** Chance of one false gain or loss, or more, in everything that is compared at once. */
  public static final double FALSE_CLAIM = 0.05;

  /** Chance to decide where there is something to decide. */
  public static final double POWER = 0.8;

  /** Resolution when none is asked for: a porter's one percent (common practice, no source). */
  public static final double USUAL_RESOLUTION = 0.01;

  /**
   * A margin that was not asked for is at most this many times the resolution: where a bench can
   * decide no less, "no real change" would be said of changes that matter (a choice of ours).
   */
  public static final double MOST_RESOLUTIONS = 3;

  public static final Question PLAIN =
      new Question(OptionalDouble.empty(), USUAL_RESOLUTION, Optional.empty(), false);

  /** A comparison by itself. */
  public Question(
      OptionalDouble margin, double resolution, Optional<String> despite, boolean interpolate) {
    this(margin, resolution, despite, interpolate, FALSE_CLAIM);
  }

  /** The same question when it is one of several that are asked at once (Bonferroni). */
  public Question among(int comparisons) {
    return new Question(margin, resolution, despite, interpolate, FALSE_CLAIM / comparisons);
  }

  public Question {
    Objects.requireNonNull(margin);
    Objects.requireNonNull(despite);
    if (margin.isPresent() && !(margin.getAsDouble() > 0 && margin.getAsDouble() < 1)) {
      throw new Refusal("the margin must lie between 0 and 100 %");
    }
    if (!(resolution > 0 && resolution < 1)) {
      throw new Refusal("the resolution must lie between 0 and 100 %");
    }
    if (!(falseClaim > 0 && falseClaim <= FALSE_CLAIM)) {
      throw new Refusal("a false claim may come with a chance of 5 % at the most");
    }
    if (despite.isPresent() && despite.get().isBlank()) {
      throw new Refusal("say why the tests may be compared all the same");
    }
  }
}
