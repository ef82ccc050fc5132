package meniscus.core.outlet;

import java.time.Instant;
import java.util.Collections;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import meniscus.core.quantity.Coded;

/**
 * Something that is so, and safe on the disk. It never changes: what is taken back is another fact.
 *
 * @param key the same for ever, and no other fact's: who has it already needs it no more
 * @param place 1 for the bench's first fact, one more for each after it, the same for ever
 * @param kind what happened
 * @param at when
 * @param of whose it is
 * @param values what it tells
 */
public record Fact(String key, long place, Kind kind, Instant at, Of of, Values values) {

  /**
   * Whose a fact is.
   *
   * @param benchId empty where no one knows
   * @param testId empty for what belongs to no test
   */
  public record Of(Optional<UUID> benchId, Optional<UUID> testId) {
    public Of {
      Objects.requireNonNull(benchId);
      Objects.requireNonNull(testId);
    }
  }

  /**
   * What a fact tells.
   *
   * @param numbers by name, in SI, with the unit in the name: {@code flow_m3_per_s}
   * @param words by name: {@code verdict}
   * @param points of a finished test, the points as they stand in its folder; else none
   */
  public record Values(
      SortedMap<String, Double> numbers,
      SortedMap<String, String> words,
      List<SortedMap<String, Double>> points) {
    public Values {
      numbers = Collections.unmodifiableSortedMap(new TreeMap<>(numbers));
      words = Collections.unmodifiableSortedMap(new TreeMap<>(words));
      points = List.copyOf(points);
      if (numbers.values().stream().anyMatch(number -> !Double.isFinite(number))) {
        throw new IllegalArgumentException("a fact has a number that is none");
      }
    }
  }

  /** What can be told. */
  public enum Kind implements Coded {
    TEST_BEGUN,
    POINT_KEPT,
    /** A point that was kept does not stand any more: taken back, or about to be taken again. */
    POINT_UNDONE,
    TEST_FINISHED,
    PLATE_CHECKED;
  }

  public Fact {
    Objects.requireNonNull(key);
    Objects.requireNonNull(kind);
    Objects.requireNonNull(at);
    Objects.requireNonNull(of);
    Objects.requireNonNull(values);
  }

  /** The same fact at its place. */
  public Fact at(long place) {
    return new Fact(key, place, kind, at, of, values);
  }

  public Optional<UUID> testId() {
    return of.testId();
  }

  public SortedMap<String, Double> numbers() {
    return values.numbers();
  }

  /** Of a finished test, the points as they stand in its folder. */
  public List<SortedMap<String, Double>> points() {
    return values.points();
  }
}
