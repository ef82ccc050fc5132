package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.budget.SmallBench;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.SharedId;
import org.junit.jupiter.api.Test;

/** One set of plates calibrates two benches: what its certificate has in common, both share. */
class CertificateTest {

  private static final double DROP_PA = 1200;

  /** A flow of 1 that one bench measures with its own calibration. */
  private static List<Contribution> measured(long seed, Optional<String> certificate) {
    HiddenBench hidden = new HiddenBench(seed, 0);
    List<Plate> plates =
        hidden.plates().stream()
            .map(plate -> plate.with(new Plate.Papers(Optional.empty(), certificate)))
            .toList();
    return CalibrationFit.fit(
            hidden.bench,
            SmallBench.bench().ranges().get(0),
            hidden.direction,
            Optional.of(hidden.measuredLeak),
            plates,
            hidden.readings(),
            Instant.EPOCH)
        .named("file of bench " + seed)
        .contributions(DROP_PA, 1)
        .stream()
        .map(c -> SharedId.between(c, false, "bench " + seed))
        .toList();
  }

  private static double u(List<Contribution> one, List<Contribution> other, double sign) {
    return new Budget(
            Stream.concat(one.stream(), new Budget(other).times(sign).contributions().stream())
                .toList())
        .standardUncertainty();
  }

  @Test
  void theDifferenceOfTwoBenchesIsNarrowerByItAndTheirMeanWider() {
    Optional<String> paper = Optional.of("K-2031-118");
    List<Contribution> one = measured(41, paper);
    List<Contribution> other = measured(42, paper);
    List<Contribution> loneOne = measured(41, Optional.empty());
    List<Contribution> loneOther = measured(42, Optional.empty());
    double alone = u(loneOne, loneOther, -1);
    assertEquals(alone, u(loneOne, loneOther, 1), 1e-12, "nothing is shared without papers");
    double difference = u(one, other, -1);
    double sum = u(one, other, 1);
    // Half of the certificate's variance is common: 0.25 % / √2 = 0.177 %, twice in a sum.
    double common = 0.0025 / Math.sqrt(2);
    assertEquals(4 * common * common, sum * sum - difference * difference, 0.15 * common * common);
    assertTrue(difference < alone && alone < sum, difference + " " + alone + " " + sum);
  }

  @Test
  void platesOfTwoCertificatesShareNothing() {
    List<Contribution> one = measured(41, Optional.of("K-2031-118"));
    List<Contribution> other = measured(42, Optional.of("K-2031-119"));
    assertEquals(u(one, other, 1), u(one, other, -1), 1e-12);
  }
}
