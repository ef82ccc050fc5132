package meniscus.core.bench;

import java.util.Optional;
import java.util.function.Function;

/** What a calibration's readings say of bench and plates. */
public sealed interface Diagnosis {

  default <T> T fold(
      Function<Sound, T> sound, Function<Fault, T> fault, Function<Unexplained, T> none) {
    if (this instanceof Sound it) {
      return sound.apply(it);
    }
    return this instanceof Fault it ? fault.apply(it) : none.apply((Unexplained) this);
  }

  /** False when no explanation makes the readings consistent: such a calibration is not used. */
  default boolean isConsistent() {
    return fold(sound -> true, fault -> true, unexplained -> false);
  }

  /** The explanation that is named, when something is wrong. */
  default Optional<Explanation> named() {
    return fold(
        sound -> Optional.empty(),
        fault -> Optional.of(fault.best()),
        unexplained -> Optional.empty());
  }

  /** The readings go together, and nothing need be wrong. */
  record Sound() implements Diagnosis {}

  /**
   * Something is wrong, and one explanation makes the readings consistent.
   *
   * @param best the likeliest explanation
   * @param runnerUp the next likely one, when it is near
   */
  record Fault(Explanation best, Optional<Explanation> runnerUp) implements Diagnosis {}

  /**
   * No explanation makes the readings consistent: more than one thing is wrong, or something else.
   *
   * @param nearest the explanation that comes nearest
   */
  record Unexplained(Explanation nearest) implements Diagnosis {}
}
