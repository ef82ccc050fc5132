package meniscus.recorder.outlet;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.UUID;
import java.util.stream.LongStream;
import meniscus.core.outlet.Fact;

/** Kept points of a test that never was. */
final class MadeUpFacts {

  private static final UUID TEST = UUID.fromString("3a1f6f0e-6f3b-4c57-9f0d-2d1f6a9f7b10");

  private MadeUpFacts() {}

  /** So many, of rungs from one on. */
  static List<Fact> of(long from, int count) {
    return LongStream.range(from, from + count).mapToObj(MadeUpFacts::fact).toList();
  }

  private static Fact fact(long rung) {
    return new Fact(
        TEST + "/kept/" + rung + "/1",
        0,
        Fact.Kind.POINT_KEPT,
        Instant.EPOCH.plusSeconds(rung),
        new Fact.Of(Optional.empty(), Optional.of(TEST)),
        new Fact.Values(
            new TreeMap<>(Map.of("rung", (double) rung, "flow_m3_per_s", 0.05 + 1e-6 * rung)),
            new TreeMap<>(Map.of("verdict", "steady")),
            List.of()));
  }
}
