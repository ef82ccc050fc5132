package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import meniscus.core.air.AirState;
import meniscus.core.bench.Calibration;
import meniscus.core.budget.SmallBench;
import meniscus.core.uncertainty.Coverage;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

class CalibrationFitTest {

  private static final AirState ROOM = SmallBench.room();

  private static Calibration fit(HiddenBench hidden, List<PlateReading> readings) {
    return CalibrationFit.fit(
        hidden.bench,
        hidden.bench.ranges().get(0),
        hidden.direction,
        Optional.of(hidden.measuredLeak),
        hidden.plates(),
        readings,
        SmallBench.AT);
  }

  /** Follows the advice: leaves out a plate that is pointed at, once. */
  private static Calibration advised(HiddenBench hidden) {
    List<PlateReading> readings = hidden.readings();
    Calibration first = fit(hidden, readings);
    return first
        .evidence()
        .disagreeing()
        .map(plate -> fit(hidden, readings.stream().filter(r -> !r.plate().equals(plate)).toList()))
        .orElse(first);
  }

  private static double u95(Calibration calibration, double dropPa) {
    return Coverage.factor95(Double.POSITIVE_INFINITY)
        * calibration.element().relativeStandardUncertainty(dropPa, ROOM);
  }

  @Test
  void hiddenBenchesAreRecoveredWithinTheStatedUncertainty() {
    // Of 40 benches at 95 %, fewer than 34 recovered would happen once in 300 times.
    recover(40, 3000, 34.0 / 40);
  }

  /** {@code mvn -Pbench -pl core test -Dtest=CalibrationFitTest} */
  @Test
  @Tag("bench")
  void fiveHundredHiddenBenchesAreRecoveredWithinTheStatedUncertainty() {
    recover(500, 1, 0.93);
  }

  private static void recover(int benches, long firstSeed, double least) {
    int recovered = 0;
    int named = 0;
    int accused = 0;
    int covered = 0;
    double widest = 0;
    for (int i = 0; i < benches; i++) {
      long seed = firstSeed + i;
      double wrongBy = (i % 2 == 0 ? 1 : -1) * (0.02 + 0.0005 * (i % 40));
      HiddenBench hidden = new HiddenBench(seed, wrongBy);
      String wrong = HiddenBench.name(hidden.wrongPlate);
      Calibration all = fit(hidden, hidden.readings());
      named += all.evidence().disagreeing().equals(Optional.of(wrong)) ? 1 : 0;
      Calibration calibration = advised(new HiddenBench(seed, wrongBy));
      double middle = calibration.element().referenceDropPa();
      double error = calibration.element().correction(middle) / hidden.truth(middle) - 1;
      recovered += Math.abs(error) <= u95(calibration, middle) ? 1 : 0;
      widest = Math.max(widest, u95(calibration, middle));
      HiddenBench good = new HiddenBench(seed, 0);
      Calibration ofGood = fit(good, good.readings());
      accused += ofGood.evidence().disagreeing().isPresent() ? 1 : 0;
      double errorOfGood = ofGood.element().correction(middle) / good.truth(middle) - 1;
      covered += Math.abs(errorOfGood) <= u95(ofGood, middle) ? 1 : 0;
    }
    String found =
        String.format(
            Locale.ROOT,
            "seeds %d to %d: recovered %.1f %% with a wrong plate and %.1f %% without, wrong plate named %.1f %%, a right plate accused"
                + " %.1f %%, widest U95 %.2f %%",
            firstSeed,
            firstSeed + benches - 1,
            100.0 * recovered / benches,
            100.0 * covered / benches,
            100.0 * named / benches,
            100.0 * accused / benches,
            100 * widest);
    if (benches >= 500) {
      System.out.println(found);
    }
    assertTrue(recovered >= least * benches, found);
    assertTrue(covered >= least * benches, found);
    assertTrue(named >= least * benches, found);
    assertTrue(accused <= 0.10 * benches, found);
    assertTrue(widest < 0.02, found);
  }
}
