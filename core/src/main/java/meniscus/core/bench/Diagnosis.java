package meniscus.core.bench;

import java.util.Optional;
import java.util.function.Function;

/** What a calibration's readings say of bench and plates. */
public sealed interface Diagnosis {

  <T> T fold(Function<Sound, T> sound, Function<Fault, T> fault, Function<Unexplained, T> none);

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
  record Sound() implements Diagnosis {
    @Override
    public <T> T fold(
        Function<Sound, T> sound, Function<Fault, T> fault, Function<Unexplained, T> none) {
      return sound.apply(this);
    }
  }

  /**
   * Something is wrong, and one explanation makes the readings consistent.
   *
   * @param best the likeliest explanation
   * @param runnerUp the next likely one, when it is near
   */
  record Fault(Explanation best, Optional<Explanation> runnerUp) implements Diagnosis {
    @Override
    public <T> T fold(
        Function<Sound, T> sound, Function<Fault, T> fault, Function<Unexplained, T> none) {
      return fault.apply(this);
    }
  }

  /**
   * No explanation makes the readings consistent: more than one thing is wrong, or something else.
   *
   * @param nearest the explanation that comes nearest
   */
  record Unexplained(Explanation nearest) implements Diagnosis {
    @Override
    public <T> T fold(
        Function<Sound, T> sound, Function<Fault, T> fault, Function<Unexplained, T> none) {
      return none.apply(this);
    }
  }
}
