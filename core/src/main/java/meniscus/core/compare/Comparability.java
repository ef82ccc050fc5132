package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.InUnits;
import meniscus.core.finding.TestDoubts;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;

/**
 * Whether tests may be set beside each other, and what to know when they are.
 *
 * @param sameSetUp false when something around the head differs, so that a difference need not be
 *     the port's
 * @param sameBench true when the bench is the same, so that systematic errors cancel
 * @param samePressures true when every compared test held the asked pressure everywhere
 * @param findings about all this
 */
record Comparability(
    boolean sameSetUp, boolean sameBench, boolean samePressures, List<Finding> findings) {

  // Our own choice: a cold morning against a warm afternoon, a low against a high.
  private static final double ROOM_TEMPERATURE_APART_K = 8;
  private static final double ROOM_DENSITY_APART = 0.04;

  static Comparability of(List<TestCurve> before, List<TestCurve> after) {
    TestCurve first = before.get(0);
    InUnits in = new InUnits(first.plan().units());
    List<TestCurve> all = Stream.concat(before.stream(), after.stream()).toList();
    List<Finding> findings = new ArrayList<>();
    List<String> setUp = new ArrayList<>();
    List<String> part = new ArrayList<>();
    for (TestCurve other : all.subList(1, all.size())) {
      setUp.addAll(setUpDifferences(first, other, in));
      part.addAll(partDifferences(first, other));
    }
    if (!setUp.isEmpty()) {
      findings.add(
          new Finding(
              Kind.SETUP_DIFFERS,
              "The set-ups differ, so a difference in flow need not come from the port.",
              setUp.stream().distinct().toList(),
              "Repeat one of the tests with the other's set-up; or, if you know that it does not"
                  + " matter, compare again and write down why.",
              List.of()));
    }
    if (!part.isEmpty()) {
      findings.add(
          new Finding(
              Kind.PART_DIFFERS,
              "The tests are not of the same port: the difference is that of two ports, not of a"
                  + " change.",
              part.stream().distinct().toList(),
              "For the effect of a change compare each port with its own earlier test.",
              List.of()));
    }
    boolean sameBench = all.stream().allMatch(t -> t.bench().equals(first.bench()));
    boolean sameCalibration =
        all.stream().allMatch(t -> t.calibration().equals(first.calibration()));
    if (!sameBench || !sameCalibration) {
      findings.add(otherBenchOrCalibration(all, sameBench));
    }
    boolean samePressures = pressures(all, in, findings);
    room(all, findings);
    for (TestCurve test : all) {
      findings.addAll(TestDoubts.of(test));
    }
    return new Comparability(setUp.isEmpty(), sameBench, samePressures, findings);
  }

  private static Finding otherBenchOrCalibration(List<TestCurve> all, boolean sameBench) {
    return new Finding(
        Kind.OTHER_BENCH_OR_CALIBRATION,
        sameBench
            ? "The tests share the bench, but not its calibration: of their systematic errors only"
                + " those of the gauges cancel, and the intervals say so."
            : "The tests are not known to share a bench: of their systematic errors only what plates"
                + " of one certificate have in common cancels, and the intervals say so.",
        all.stream()
            .map(t -> t.name() + ": " + (sameBench ? "calibration " + t.calibration() : t.bench()))
            .distinct()
            .toList(),
        "Measure a shared plate or one head on both, or work the earlier test out again with the"
            + " newer calibration.",
        List.of());
  }

  private static List<String> setUpDifferences(TestCurve a, TestCurve b, InUnits in) {
    Plan one = a.plan();
    Plan other = b.plan();
    List<String> told = new ArrayList<>();
    differ(told, "direction", one.direction().word(), other.direction().word());
    differ(told, "port", one.port().word(), other.port().word());
    differ(told, "entry", one.setUp().entry(), other.setUp().entry());
    differ(told, "exit", one.setUp().exit(), other.setUp().exit());
    differ(told, "plugged holes", one.setUp().pluggedHoles(), other.setUp().pluggedHoles());
    differ(
        told,
        "where the indicator touches",
        one.setUp().indicatorTouches(),
        other.setUp().indicatorTouches());
    differ(told, "valves fitted", one.setUp().valvesFitted(), other.setUp().valvesFitted());
    differ(told, "valves opened", one.setUp().valvesOpened(), other.setUp().valvesOpened());
    differ(
        told,
        "bore adapter",
        one.setUp().adapter().map(adapter -> said(adapter, in)).orElse("none"),
        other.setUp().adapter().map(adapter -> said(adapter, in)).orElse("none"));
    if (!one.setUp().spring().equals(other.setUp().spring())) {
      told.add("checking spring: not the same");
    }
    double aim = one.testPressurePa();
    if (Math.abs(other.testPressurePa() - aim) > one.aimBand() * aim) {
      differ(told, "test pressure", in.pressure(aim), in.pressure(other.testPressurePa()));
    }
    return told;
  }

  private static String said(TestSetUp.Adapter adapter, InUnits in) {
    return in.lift(adapter.diameterM())
        + " diameter, "
        + in.lift(adapter.lengthM())
        + " long, "
        + in.lift(adapter.offsetM())
        + " off centre";
  }

  private static List<String> partDifferences(TestCurve a, TestCurve b) {
    List<String> told = new ArrayList<>();
    differ(told, "head", a.plan().part().head(), b.plan().part().head());
    differ(told, "chamber", a.plan().part().chamber(), b.plan().part().chamber());
    differ(told, "port", a.plan().part().port(), b.plan().part().port());
    return told;
  }

  private static void differ(List<String> told, String what, Object one, Object other) {
    if (!Objects.equals(one, other)) {
      told.add(what + ": " + worded(one) + " and " + worded(other));
    }
  }

  private static String worded(Object value) {
    return value instanceof String text && text.isBlank() ? "nothing written" : value.toString();
  }

  private static boolean pressures(List<TestCurve> all, InUnits in, List<Finding> findings) {
    List<String> evidence = new ArrayList<>();
    List<Double> lifts = new ArrayList<>();
    for (TestCurve test : all) {
      for (LiftPoint point : test.curve()) {
        if (!point.pressureAsAsked()) {
          lifts.add(point.liftM());
          evidence.add(
              "\""
                  + test.name()
                  + "\" at "
                  + in.lift(point.liftM())
                  + ": "
                  + in.pressure(point.testPressurePa())
                  + " instead of "
                  + in.pressure(test.plan().testPressurePa()));
        }
      }
    }
    if (evidence.isEmpty()) {
      return true;
    }
    findings.add(
        new Finding(
            Kind.TEST_PRESSURES_DIFFER,
            "The test pressure was not held everywhere: the flow there is rescaled, and such lifts"
                + " can neither confirm nor refute a short side.",
            evidence,
            "Take all lifts at the highest pressure that every one of them reaches.",
            lifts.stream().distinct().sorted().toList()));
    return false;
  }

  private static void room(List<TestCurve> all, List<Finding> findings) {
    List<TestCurve.Room> rooms =
        all.stream().map(TestCurve::room).flatMap(Optional::stream).toList();
    if (rooms.size() < 2) {
      return;
    }
    double temperature =
        rooms.stream().mapToDouble(TestCurve.Room::temperatureK).max().orElseThrow()
            - rooms.stream().mapToDouble(TestCurve.Room::temperatureK).min().orElseThrow();
    double highest = rooms.stream().mapToDouble(TestCurve.Room::densityKgPerM3).max().orElseThrow();
    double lowest = rooms.stream().mapToDouble(TestCurve.Room::densityKgPerM3).min().orElseThrow();
    if (temperature > ROOM_TEMPERATURE_APART_K || highest / lowest - 1 > ROOM_DENSITY_APART) {
      findings.add(
          new Finding(
              Kind.ROOM_AIR_FAR_APART,
              "The room's air was far apart between the tests; flows are corrected for it, but"
                  + " gauges may have drifted with the temperature.",
              List.of(
                  "temperatures differ by " + InUnits.number(temperature, 1) + " K",
                  "densities differ by " + InUnits.percent(highest / lowest - 1)),
              "Check one plate on both days, or repeat the test in like weather.",
              List.of()));
    }
  }
}
