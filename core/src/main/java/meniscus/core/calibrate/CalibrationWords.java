package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.bench.BlindSpot;
import meniscus.core.bench.Diagnosis;
import meniscus.core.bench.Evidence;
import meniscus.core.bench.Explanation;
import meniscus.core.quantity.Text;

/** What a calibration found, in sentences for the operator. */
final class CalibrationWords {

  // Cubic feet a minute, by definition.
  private static final double CFM = 0.3048 * 0.3048 * 0.3048 / 60;

  private CalibrationWords() {}

  static List<String> of(
      Evidence evidence,
      List<CorrectionRatio> used,
      List<CorrectionRatio> refused,
      SmallestDrop smallest,
      boolean leakKnown) {
    List<String> remarks = new ArrayList<>();
    evidence
        .diagnosis()
        .fold(
            sound -> remarks,
            fault -> {
              remarks.addAll(words(fault, evidence.plates().size()));
              return remarks;
            },
            unexplained -> {
              remarks.add(words(unexplained, evidence.fit()));
              return remarks;
            });
    if (evidence.plates().isEmpty()) {
      remarks.add("one plate alone: nothing checks it; read two or more plates");
    }
    if (evidence.widened() > 1 && evidence.diagnosis().isConsistent()) {
      remarks.add(
          Text.of(
              "the points scatter %.1f times as much as their uncertainties allow: look at hoses,"
                  + " seals and how steady the blower is; the result was widened",
              evidence.widened()));
    }
    for (CorrectionRatio ratio : refused) {
      remarks.add(refused(ratio, smallest));
    }
    for (String plate : used.stream().map(ratio -> ratio.plate().name()).distinct().toList()) {
      if (used.stream().filter(ratio -> ratio.plate().name().equals(plate)).count() < 2) {
        remarks.add(
            "plate "
                + plate
                + " was read at one test pressure only: two or more tell a leak from a wrong"
                + " plate");
      }
    }
    if (evidence.plates().size() > 1) {
      boolean again = readAgainAtTheEnd(used);
      evidence.blindSpots().forEach(spot -> remarks.add(words(spot, again)));
    }
    if (!leakKnown) {
      remarks.add(
          "leaks were never measured in this direction: up to 1 cfm is reckoned with; run leakage"
              + " with the bench blanked");
    }
    return remarks;
  }

  static String refused(CorrectionRatio ratio, SmallestDrop smallest) {
    return Text.of(
        "plate %s at %.0f Pa: its drop of %.1f Pa is below %.0f Pa, 40 times what the gauge's zero"
            + " is known to, and is not used: a plate of %.0f mm or more would do, or a range with"
            + " a smaller element",
        ratio.plate().name(),
        ratio.means().testPressurePa(),
        ratio.means().dropPa(),
        smallest.pascal(),
        Math.ceil(1000 * smallest.boreM(ratio)));
  }

  private static List<String> words(Diagnosis.Fault fault, int plates) {
    Explanation best = fault.best();
    List<String> words = new ArrayList<>();
    if (plates == 2 && best.kind() == Explanation.Kind.PLATE) {
      words.add(
          Text.of(
              "the two plates disagree by %.2f %%: one of them is wrong, a third would tell which",
              Math.abs(100 * best.size())));
    } else {
      words.add(words(best));
      fault
          .runnerUp()
          .ifPresent(
              next ->
                  words.add(
                      Text.of(
                          "less likely, %.0f to 1: %s",
                          Math.max(1, best.probability() / next.probability()), words(next))));
    }
    if (!best.isOfPlate()) {
      words.add(
          "the curve is worked out without it, but tests have it until it is mended: no plate is"
              + " accused");
    }
    return words;
  }

  private static String words(Diagnosis.Unexplained unexplained, Evidence.GoodnessOfFit fit) {
    String nearest =
        unexplained.nearest().kind() == Explanation.Kind.NOTHING
            ? ""
            : "; what comes nearest, and does not suffice: " + words(unexplained.nearest());
    return Text.of(
        "something does not fit, and no one thing explains it (χ² %.0f with %d degrees of freedom):"
            + " the calibration is kept but not to be used. Look at zeros, hoses, seals and leaks,"
            + " then read the plates again%s",
        fit.chiSquare(), fit.degreesOfFreedom(), nearest);
  }

  /** One explanation with its size. */
  private static String words(Explanation explanation) {
    double size = explanation.size();
    double u95 = 2 * explanation.standardUncertainty();
    String plate =
        Text.of(
            "plate %s passes %.1f ± %.1f %% %s than its certificate says",
            explanation.plate(), 100 * Math.abs(size), 100 * u95, size > 0 ? "more" : "less");
    return switch (explanation.kind()) {
      case NOTHING -> "nothing is wrong";
      case SEVERAL -> "more than one thing is wrong";
      case PLATE -> plate + ": check its edge, its seal and its certificate, or leave it out";
      case TURNED -> plate + ": is it turned round? Its bevel looks downstream";
      case LEAK ->
          Text.of(
              "the readings look as if %.1f ± %.1f cfm (%.2f L/s) %s leaked at 28 inH2O than was"
                  + " reckoned with: measure the leakage",
              Math.abs(size) / CFM, u95 / CFM, 1000 * Math.abs(size), size > 0 ? "more" : "less");
      case DROP_ZERO ->
          Text.of(
              "the readings look as if the gauge of the drop showed %+.1f ± %.1f Pa with nothing to"
                  + " read: take its zero again",
              size, u95);
      case PRESSURE_ZERO ->
          Text.of(
              "the readings look as if the gauge of the test pressure showed %+.0f ± %.0f Pa with"
                  + " nothing to read: take its zero again",
              size, u95);
      case DRIFT ->
          Text.of(
              "the readings look as if the bench had moved by %+.2f ± %.2f %% from the first plate"
                  + " to the last: let it warm up, look at the zeros, and read the plates again",
              100 * size, 100 * u95);
    };
  }

  /** True when the first plate was mounted once more after others. */
  private static boolean readAgainAtTheEnd(List<CorrectionRatio> used) {
    String first = used.get(0).plate().name();
    return first.equals(used.get(used.size() - 1).plate().name())
        && used.stream().anyMatch(ratio -> !ratio.plate().name().equals(first));
  }

  private static String words(BlindSpot spot, boolean again) {
    String fault =
        switch (spot.kind()) {
          case LEAK -> Text.of("a leak of %.0f cfm", spot.size() / CFM);
          case DROP_ZERO -> Text.of("a zero of the drop that is %.0f Pa off", spot.size());
          case DRIFT -> Text.of("a drift of %.0f %% while reading", 100 * spot.size());
          case PLATE, TURNED, NOTHING, SEVERAL, PRESSURE_ZERO ->
              Text.of("one plate wrong by %.0f %%", 100 * spot.size());
        };
    String passes =
        spot.takenFor() == Explanation.Kind.NOTHING
            ? " may go unseen with these plates and test pressures"
            : " may pass for " + name(spot.takenFor()) + " with these plates and test pressures";
    return fault + passes + remedy(spot, again);
  }

  private static String remedy(BlindSpot spot, boolean again) {
    OptionalDouble bore = spot.boreM();
    if (spot.kind() == Explanation.Kind.DRIFT) {
      return again
          ? ": these readings scatter too much to show it; finer gauges or more plates would"
          : ": read them in mixed order, and the first one again at the end";
    }
    if (bore.isEmpty() && spot.kind() == Explanation.Kind.LEAK) {
      return ": only leakage, measured with the bench blanked, tells it";
    }
    return bore.isPresent()
        ? Text.of(": a plate of %.0f mm, read as well, would tell", 1000 * bore.getAsDouble())
        : ": read more plates, small and large, at two test pressures or more";
  }

  private static String name(Explanation.Kind kind) {
    return switch (kind) {
      case NOTHING -> "nothing";
      case SEVERAL -> "several faults";
      case PLATE -> "a wrong plate";
      case TURNED -> "a plate turned round";
      case LEAK -> "a leak";
      case DROP_ZERO -> "a wrong zero of the drop";
      case PRESSURE_ZERO -> "a wrong zero of the test pressure";
      case DRIFT -> "a drift";
    };
  }
}
