package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Consumer;
import java.util.stream.Stream;
import meniscus.core.air.AirState;
import meniscus.core.bench.BlindSpot;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.Diagnosis;
import meniscus.core.bench.Explanation;
import meniscus.core.bench.Explanation.Kind;
import meniscus.core.calibrate.FaultyBench.Faults;
import org.hipparchus.distribution.discrete.BinomialDistribution;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** What a calibration says is wrong, on benches whose faults and physics are the test's own. */
@Tag("long")
class RivalsTest {

  private static final double[] PLATES = {12.5, 20, 28, 36, 44};
  private static final double[] WITHOUT_THE_SMALLEST = {20, 28, 36, 44};
  private static final AirState ROOM = new AirState(293.15, 98500, 0.5);

  /** Counts of a scenario. */
  private static final class Seen {
    int benches;
    int sound;
    int unexplained;
    int innocent;
    int near;
    int covered;
    int asked;
    double width;
    final Map<Kind, Integer> said = new EnumMap<>(Kind.class);

    int said(Kind kind) {
      return said.getOrDefault(kind, 0);
    }
  }

  private static Seen run(
      String name, long firstSeed, int benches, double[] plates, Consumer<Faults> wrong) {
    Seen seen = new Seen();
    for (int i = 0; i < benches; i++) {
      Faults faults = new Faults();
      wrong.accept(faults);
      if (faults.plateBy != 0) {
        faults.plate = FaultyBench.name(plates[i % plates.length]);
      }
      look(new FaultyBench(firstSeed + i, faults, plates, 10, 28), faults, seen);
    }
    int used = Math.max(1, seen.benches - seen.unexplained);
    System.out.printf(
        Locale.ROOT,
        "%s, seeds %d to %d: nothing wrong %.1f %%, named %s, a plate that is right %.1f %%, the culprit"
            + " first or as a near runner-up %.1f %%, does not fit %.1f %%; truth inside %.1f %% of %d, ± %.2f %%%n",
        name,
        firstSeed,
        firstSeed + benches - 1,
        100.0 * seen.sound / benches,
        seen.said,
        100.0 * seen.innocent / benches,
        100.0 * seen.near / benches,
        100.0 * seen.unexplained / benches,
        100.0 * seen.covered / Math.max(1, seen.asked),
        seen.asked,
        100 * seen.width / used);
    return seen;
  }

  private static void look(FaultyBench bench, Faults faults, Seen seen) {
    Calibration found = bench.calibrate();
    Diagnosis diagnosis = found.evidence().diagnosis();
    seen.benches++;
    diagnosis.fold(
        sound -> seen.sound++,
        fault -> {
          Explanation best = fault.best();
          seen.near +=
              Stream.concat(Stream.of(best), fault.runnerUp().stream())
                      .anyMatch(each -> isCulprit(each, faults))
                  ? 1
                  : 0;
          boolean innocent = best.isOfPlate() && !best.plate().equals(faults.plate);
          return innocent ? seen.innocent++ : seen.said.merge(best.kind(), 1, Integer::sum);
        },
        unexplained -> seen.unexplained++);
    if (!diagnosis.isConsistent()) {
      return;
    }
    double low = found.element().lowestDropPa();
    double high = found.element().highestDropPa();
    for (double drop : new double[] {low, Math.sqrt(low * high), high}) {
      double u95 = 1.96 * found.element().relativeStandardUncertainty(drop, ROOM);
      double error = found.element().correction(drop) / bench.truth(drop) - 1;
      seen.asked++;
      seen.covered += Math.abs(error) <= u95 ? 1 : 0;
      seen.width += u95 / 3;
    }
  }

  /** By what was made wrong; of a plate it is that plate. */
  private static boolean isCulprit(Explanation named, Faults faults) {
    return switch (named.kind()) {
      case PLATE, TURNED -> named.plate().equals(faults.plate);
      case LEAK -> faults.leakCfm > 0;
      case DROP_ZERO -> faults.dropZeroPa != 0;
      case PRESSURE_ZERO -> faults.pressureZeroPa != 0;
      case DRIFT -> faults.drift != 0 || faults.driftStep != 0;
      case NOTHING, SEVERAL -> false;
    };
  }

  /** Fewest hits that a true rate leaves in all but one of a thousand runs. */
  private static int fewest(int of, double rate) {
    return new BinomialDistribution(of, rate).inverseCumulativeProbability(0.001);
  }

  /** Most hits, in the same sense. */
  private static int most(int of, double rate) {
    return new BinomialDistribution(of, rate).inverseCumulativeProbability(0.999);
  }

  @Test
  void theCulpritIsNamedAndTheTruthLiesInside() {
    everyScenario(10);
  }

  @Test
  @Tag("bench")
  void fiveHundredBenchesAScenario() {
    everyScenario(500);
  }

  private static void everyScenario(int n) {
    int right = 0;
    int asked = 0;
    int inside = 0;
    int of = 0;
    Seen nothing = run("nothing wrong", 1, n, PLATES, f -> {});
    Seen four = run("nothing wrong, plates 20 to 44", 1001, n, WITHOUT_THE_SMALLEST, f -> {});
    assertTrue(2 * n - nothing.sound - four.sound <= most(2 * n, 0.02), "accused");
    for (Seen seen : List.of(nothing, four)) {
      inside += seen.covered;
      of += seen.asked;
    }
    Map<Kind, List<Seen>> known =
        Map.of(
            Kind.LEAK,
            List.of(
                run("leak 1 cfm", 2001, n, PLATES, f -> f.leakCfm = 1),
                run("leak 2 cfm, root", 3001, n, PLATES, leak(2, 0.5)),
                run("leak 2 cfm, exponent 0.72", 4001, n, WITHOUT_THE_SMALLEST, leak(2, 0.72)),
                run("leak 3 cfm", 5001, n, WITHOUT_THE_SMALLEST, f -> f.leakCfm = 3)),
            Kind.DROP_ZERO,
            List.of(
                run("drop zero 8 Pa", 6001, n, PLATES, f -> f.dropZeroPa = 8),
                run("drop zero -8 Pa", 7001, n, WITHOUT_THE_SMALLEST, f -> f.dropZeroPa = -8),
                run("drop zero 10 Pa", 8001, n, PLATES, f -> f.dropZeroPa = 10)),
            Kind.TURNED,
            List.of(run("turned, +8 %", 9001, n, WITHOUT_THE_SMALLEST, f -> f.plateBy = 0.08)),
            Kind.PLATE,
            List.of(
                run("plate +2 %", 10001, n, WITHOUT_THE_SMALLEST, f -> f.plateBy = 0.02),
                run("plate -3 %", 11001, n, WITHOUT_THE_SMALLEST, f -> f.plateBy = -0.03)));
    for (Map.Entry<Kind, List<Seen>> each : known.entrySet()) {
      for (Seen seen : each.getValue()) {
        right += seen.said(each.getKey());
        asked += seen.benches;
        inside += seen.covered;
        of += seen.asked;
      }
    }
    assertTrue(right >= fewest(asked, 0.95), right + " of " + asked + " right");
    for (Seen seen :
        List.of(
            run("pressure zero 20 Pa", 12001, n, PLATES, f -> f.pressureZeroPa = 20),
            run("plate +1 %", 13001, n, WITHOUT_THE_SMALLEST, f -> f.plateBy = 0.01),
            run("drift 1 %", 14001, n, PLATES, f -> f.drift = 0.01),
            run("a step of 0.7 %", 15001, n, PLATES, f -> f.driftStep = 0.007),
            run("gauge bent by 0.25 % of range", 16001, n, PLATES, f -> f.curved = 0.0025))) {
      inside += seen.covered;
      of += seen.asked;
    }
    // Three drops of one bench go together: a third of them counts.
    assertTrue(inside / 3 >= fewest(of / 3, 0.93), inside + " of " + of + " inside");
    Seen both = run("leak 2 cfm and plate +2.5 %", 17001, n, PLATES, leakAndPlate());
    assertTrue(both.sound <= most(n, 0.02), "two faults at once pass for none");
    run("leak 2 cfm and drop zero 8 Pa", 18001, n, PLATES, leakAndZero());
    run("leak 1 cfm, plates 20 to 44", 20001, n, WITHOUT_THE_SMALLEST, f -> f.leakCfm = 1);
    run("all plates turned", 19001, n, PLATES, f -> f.gain = -0.16);
  }

  /**
   * Bent by 0.25 % of range a gauge reads up to 1 % too much at small drops: stated so, and not as
   * 0.25 % of reading, the interval holds.
   */
  @Test
  void aBentGaugeWhoseAccuracyIsStatedAsItIsIsCovered() {
    bentButHonest(50);
  }

  @Test
  @Tag("bench")
  void fiveHundredBentGaugesStatedAsTheyAre() {
    bentButHonest(500);
  }

  private static void bentButHonest(int n) {
    Seen seen =
        run(
            "gauge bent by 0.25 % of range, stated as 1 %",
            21001,
            n,
            PLATES,
            f -> {
              f.curved = 0.0025;
              f.stated = 0.01;
            });
    // Three drops of one bench go together: a third of them counts.
    assertTrue(seen.covered / 3 >= fewest(seen.asked / 3, 0.93), seen.covered + " inside");
  }

  private static Consumer<Faults> leak(double cfm, double exponent) {
    return faults -> {
      faults.leakCfm = cfm;
      faults.leakExponent = exponent;
    };
  }

  private static Consumer<Faults> leakAndPlate() {
    return faults -> {
      faults.leakCfm = 2;
      faults.plateBy = 0.025;
    };
  }

  private static Consumer<Faults> leakAndZero() {
    return faults -> {
      faults.leakCfm = 2;
      faults.dropZeroPa = 8;
    };
  }

  private static List<String> said(Consumer<Faults> wrong, double[] plates, double... pressures) {
    Faults faults = new Faults();
    wrong.accept(faults);
    return new FaultyBench(42, faults, plates, pressures).calibrate().evidence().remarks();
  }

  @Test
  void aLeakIsNamedWithItsSizeAndNoPlateIsAccused() {
    List<String> said = said(f -> f.leakCfm = 3, PLATES, 10, 28);
    assertTrue(said.get(0).contains("cfm"), said::toString);
    assertTrue(said.get(0).contains("more leaked at 28 inH2O"), said::toString);
    assertTrue(said.stream().noneMatch(line -> line.startsWith("plate 2")), said::toString);
  }

  @Test
  void thePlatesSignIsThePlates() {
    List<String> said =
        said(
            f -> {
              f.plate = "36.0";
              f.plateBy = 0.08;
            },
            WITHOUT_THE_SMALLEST,
            10,
            28);
    assertTrue(said.get(0).startsWith("plate 36.0 passes "), said::toString);
    assertTrue(said.get(0).contains("% more than its certificate says"), said::toString);
    assertTrue(said.get(0).contains("turned round"), said::toString);
  }

  @Test
  void aReadingWhoseDropIsNearTheZeroIsRefusedWithThePlateThatWouldDo() {
    List<String> said = said(f -> {}, PLATES, 10, 28);
    // 20 Pa is 40 times 0.5 Pa; the drop of about 7.5 Pa goes with the fourth power of the bore:
    // 12.5 mm · (20/7.5)^(1/4) is 16.0 mm.
    String refused = said.stream().filter(line -> line.contains("12.5 at 2")).findFirst().get();
    assertTrue(refused.contains("below 20 Pa"), refused);
    assertTrue(refused.matches(".*a plate of 1[67] mm or more.*"), refused);
  }

  @Test
  void whatLargePlatesAtOnePressureCannotTellIsSaid() {
    Calibration large = new FaultyBench(7, new Faults(), new double[] {36, 40, 44}, 28).calibrate();
    List<Kind> kinds = large.evidence().blindSpots().stream().map(BlindSpot::kind).toList();
    assertTrue(kinds.containsAll(List.of(Kind.LEAK, Kind.DROP_ZERO)), kinds::toString);
    assertTrue(
        large.evidence().remarks().stream().anyMatch(line -> line.contains("measured with the")),
        large.evidence()::toString);
  }

  @Test
  void platesInRisingOrderWithoutARepeatShowNoDrift() {
    Faults once = new Faults();
    once.noRepeat = true;
    once.rising = true;
    Calibration rising = new FaultyBench(8, once, WITHOUT_THE_SMALLEST, 10, 28).calibrate();
    assertTrue(
        rising.evidence().blindSpots().stream().anyMatch(spot -> spot.kind() == Kind.DRIFT),
        rising.evidence()::toString);
    Calibration mixed = new FaultyBench(8, new Faults(), WITHOUT_THE_SMALLEST, 10, 28).calibrate();
    assertTrue(
        mixed.evidence().blindSpots().stream().noneMatch(spot -> spot.kind() == Kind.DRIFT),
        mixed.evidence()::toString);
  }

  @Test
  void thePlateThatWouldTellDoesTell() {
    Calibration four = new FaultyBench(9, new Faults(), WITHOUT_THE_SMALLEST, 10, 28).calibrate();
    BlindSpot plate =
        four.evidence().blindSpots().stream()
            .filter(spot -> spot.kind() == Kind.PLATE)
            .findFirst()
            .orElseThrow();
    assertEquals(Kind.LEAK, plate.takenFor());
    double[] five = {20, 1000 * plate.boreM().orElseThrow(), 28, 36, 44};
    Calibration more = new FaultyBench(9, new Faults(), five, 10, 28).calibrate();
    assertTrue(
        more.evidence().blindSpots().stream().noneMatch(spot -> spot.kind() == Kind.PLATE),
        more.evidence()::toString);
  }
}
