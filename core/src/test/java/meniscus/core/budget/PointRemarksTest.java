package meniscus.core.budget;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.air.Barometer;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Plan;
import meniscus.core.remark.Remark;
import meniscus.core.remark.RemarkText;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import org.junit.jupiter.api.Test;

/** Barometer, hygrometer, calibrated drops, swinging columns: what a point says of them. */
class PointRemarksTest {

  private static final Plan PLAN = SmallBench.plan(Direction.SUCTION);
  private static final Calibration CALIBRATION = SmallBench.calibration(Direction.SUCTION);

  private static FlowBudget budget(Bench bench) {
    return FlowBudget.of(
        bench, Optional.of(CALIBRATION), Optional.of(SmallBench.leakage(Direction.SUCTION)), PLAN);
  }

  private static PointMeans means(double dropPa, AirState room) {
    return Simulated.means(
        SmallBench.bench(),
        CALIBRATION.element(),
        Optional.of(SmallBench.leakage(Direction.SUCTION)),
        PLAN,
        dropPa,
        SmallBench.TEST_PRESSURE,
        room);
  }

  private static Bench at(Site site) {
    Bench bench = SmallBench.bench();
    return new Bench(
        bench.identity(),
        bench.units(),
        site,
        bench.layout(),
        bench.plenum(),
        bench.instruments(),
        bench.channels(),
        bench.ranges(),
        bench.upkeep());
  }

  private static List<String> remarks(Site site, double roomPa) {
    return sentences(budget(at(site)).remarks(means(1200, new AirState(296.15, roomPa, 0.45))));
  }

  private static List<String> sentences(List<Remark> remarks) {
    return remarks.stream().map(RemarkText::sentence).toList();
  }

  private static Site site(double altitudeM, Site.Barometer barometer) {
    return new Site(OptionalDouble.of(altitudeM), barometer, 50);
  }

  @Test
  void anOrdinaryPointSaysNothing() {
    assertEquals(List.of(), budget(SmallBench.bench()).remarks(means(1200, SmallBench.room())));
  }

  /** The calibration of this bench reaches from 300 to 2500 Pa. */
  @Test
  void dropsBeyondTheCalibratedOnesAreMarked() {
    for (double drop : new double[] {280, 2600}) {
      List<String> said =
          sentences(budget(SmallBench.bench()).remarks(means(drop, SmallBench.room())));
      assertEquals(1, said.size(), said.toString());
      assertTrue(
          said.get(0).contains("outside the calibrated 300 to 2500 Pa: extrapolated"), said.get(0));
    }
    for (double drop : new double[] {301, 2499}) {
      assertEquals(List.of(), budget(SmallBench.bench()).remarks(means(drop, SmallBench.room())));
    }
  }

  @Test
  void aDropWithinTheNoiseOfItsGaugeIsMarked() {
    String said =
        RemarkText.sentence(
            budget(SmallBench.bench()).remarks(means(2.5, SmallBench.room())).get(0));
    assertTrue(said.contains("below three times the noise of its gauge (1.00 Pa)"), said);
  }

  /** 600 m: a station pressure of 1013 hPa would be a sea-level pressure of some 1087 hPa. */
  @Test
  void aSeaLevelReadingTakenForTheStationsIsDoubted() {
    String said = remarks(site(600, Site.Barometer.STATION), 101_300).get(0);
    assertTrue(said.startsWith("barometer: ") && said.contains("sea-level reading?"), said);
    assertEquals(
        List.of(),
        remarks(site(600, Site.Barometer.STATION), Barometer.stationPressure(101_300, 600)));
  }

  @Test
  void aStationReadingTakenForASeaLevelOneIsDoubted() {
    Site site = site(600, Site.Barometer.SEA_LEVEL);
    String said = remarks(site, site.stationPa(94_300)).get(0);
    assertTrue(said.contains("\"barometer\": \"station\""), said);
    assertEquals(List.of(), remarks(site, site.stationPa(101_300)));
  }

  @Test
  void withoutAnAltitudeTheBarometerCannotBeDoubted() {
    assertEquals(List.of(), remarks(Site.UNKNOWN, 101_300));
  }

  @Test
  void airOutsideTheDensitysStatedRangeIsSaid() {
    List<String> said =
        sentences(
            budget(SmallBench.bench()).remarks(means(1200, new AirState(281.15, 99_200, 0.45))));
    assertTrue(said.get(0).startsWith("air of 8.0 °C and 992 hPa"), said.toString());
  }

  /** JCGM 100:2008, 4.3.7: a value anywhere between two limits has their half-width over root 3. */
  @Test
  void withoutAHygrometerHumidityIsCountedFromNothingToSaturated() {
    Map<Use, Source> channels = new EnumMap<>(SmallBench.bench().channels());
    channels.remove(Use.ROOM_HUMIDITY);
    Bench bench = SmallBench.bench();
    Bench blind =
        new Bench(
            bench.identity(),
            bench.units(),
            bench.site(),
            bench.layout(),
            bench.plenum(),
            bench.instruments(),
            channels,
            bench.ranges(),
            bench.upkeep());
    Contribution seen = humidity(bench);
    Contribution unseen = humidity(blind);
    assertEquals(0.5 / Math.sqrt(3), unseen.standardUncertainty(), 1e-12);
    assertTrue(unseen.source().contains("typed in"), unseen.source());
    assertEquals(seen.sensitivity(), unseen.sensitivity(), 1e-9);
    assertTrue(unseen.standardUncertainty() > 10 * seen.standardUncertainty());
  }

  private static Contribution humidity(Bench bench) {
    return budget(bench).contributions(means(1200, SmallBench.room())).stream()
        .filter(each -> each.source().startsWith("humidity"))
        .findFirst()
        .orElseThrow();
  }

  /** JCGM 101:2008, 6.4.6: the arc sine distribution over ±a has the standard deviation a/√2. */
  @Test
  void aSwingingColumnEntersTheBudget() {
    PointMeans calm = means(1200, SmallBench.room());
    FlowBudget test = budget(SmallBench.bench());
    assertFalse(source("swings", test.contributions(calm)).isPresent());
    Contribution swing = source("swings", test.contributions(byEye(calm, 24))).orElseThrow();
    assertEquals(24 / Math.sqrt(2), swing.standardUncertainty(), 1e-12);
    // Root law: ±24 Pa of 1200 Pa is ±1 % of flow; the standard deviation of that is 0.71 %.
    double share = new Budget(List.of(swing)).standardUncertainty() / calm.flowM3PerS();
    assertEquals(0.0071, share, 0.0002);
    assertEquals(Contribution.Kind.REPEAT, swing.kind());
  }

  /**
   * JCGM 100:2008, F.2.2.1: a resolution δ has the standard uncertainty 0.29 δ. Noise of the gauge
   * makes a mean of many readings finer than the step; one look at a column it does not.
   */
  @Test
  void aColumnReadByEyeIsReadToItsGraduationAndSetToZeroByIt() {
    PointMeans often = means(1200, SmallBench.room());
    double step = 25;
    FlowBudget test = budget(graduated(step));
    for (String what : List.of("read by eye", "zero set by eye")) {
      String source = "drop over the flow element: " + what;
      assertFalse(source(source, test.contributions(often)).isPresent());
      Contribution read = source(source, test.contributions(byEye(often, 0))).orElseThrow();
      assertEquals(0.29 * step, read.standardUncertainty(), 0.005 * step);
    }
  }

  /** A bench whose drop is read from a scale, its zero set by eye. */
  private static Bench graduated(double stepPa) {
    Bench bench = SmallBench.bench();
    Source.Measured scale =
        new Source.Measured("gauges", "column", -3000, 3000, new Accuracy(0, 0, stepPa), 0, false);
    return new Bench(
        bench.identity(),
        bench.units(),
        bench.site(),
        bench.layout(),
        bench.plenum(),
        bench.instruments(),
        bench.channels(),
        List.of(new Range("main", SmallBench.ELEMENT, scale)),
        bench.upkeep());
  }

  private static PointMeans byEye(PointMeans calm, double halfSwingPa) {
    return new PointMeans(
        calm.seconds(),
        new PointMeans.Pressures(
            calm.dropPa(),
            calm.testPressurePa(),
            calm.testPressureRate(),
            OptionalDouble.of(halfSwingPa),
            OptionalDouble.empty(),
            0),
        calm.air(),
        calm.flow(),
        calm.liftM(),
        calm.slopeM2PerS());
  }

  private static Optional<Contribution> source(String words, List<Contribution> contributions) {
    return contributions.stream().filter(each -> each.source().contains(words)).findFirst();
  }
}
