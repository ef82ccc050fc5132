package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Difference;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.compare.Overall;
import meniscus.core.compare.WhatNext;
import meniscus.core.finding.Finding;
import meniscus.core.lift.Plan;

/** What is to be done next with each port, and why, as people read it. */
final class NextWords {

  static final String HEADING = "What to do next";

  private NextWords() {}

  /** {@code Cylinder 1, intake 2: change 2 (…) loses from 0.500 in up. …}, port by port. */
  static List<String> of(List<PortHistory> ports) {
    return PortHistory.next(ports).stream().map(NextWords::of).toList();
  }

  /** The same of one port. */
  static String of(WhatNext next) {
    return Report.capital(next.port().name()) + ": " + whole(next);
  }

  /** The same without what a finding asks for, for one page. */
  static List<String> briefly(List<PortHistory> ports) {
    return PortHistory.next(ports).stream()
        .filter(next -> next.last().isPresent() || !next.untried().isEmpty())
        .map(
            next ->
                Report.capital(next.port().name())
                    + ": "
                    + joined(last(next), next.suspicion().map(Finding::sentence), untried(next)))
        .toList();
  }

  private static String whole(WhatNext next) {
    return joined(
        last(next),
        next.suspicion().map(found -> found.sentence() + " " + found.nextStep()),
        untried(next));
  }

  private static String joined(String first, Optional<String> second, Optional<String> third) {
    return Stream.of(Optional.of(first), second, third)
        .flatMap(Optional::stream)
        .collect(Collectors.joining(" "));
  }

  /** What the last change did, and what follows from that alone. */
  private static String last(WhatNext next) {
    String done =
        next.port().now().changes().stream()
            .map(Plan.ChangeNote::what)
            .collect(Collectors.joining("; "));
    if (next.port().before().isEmpty()) {
      return done.isEmpty()
          ? "nothing was changed on it yet."
          : "what was done before its first test (" + done + ") has no test to be held against.";
    }
    String change = next.port().now().name() + " (" + done + ")";
    if (next.last().isEmpty()) {
      return change + " cannot be compared with what was before it: test the lifts of both.";
    }
    Comparison step = next.port().now().step().orElseThrow();
    String did = change + " " + Sentences.claimed(step);
    return switch (next.last().get()) {
      case LOST ->
          did
              + ". Undo it if it can be undone, and test again; do it to no other port until you"
              + " know why.";
      case GAINED_AND_LOST ->
          did
              + ": whether that pays depends on the lifts that the cam uses (report --cam weighs"
              + " them).";
      case GAINED -> did + ", and no loss was found: keep it.";
      case NO_REAL_CHANGE ->
          change + " changed nothing that counts: no reason to do it to another port.";
      case CANNOT_TELL_YET ->
          "what " + change + " did cannot be told yet: " + Sentences.detail(open(step)) + ".";
    };
  }

  /** What is open: the average of the lifts, else the lift that is settled soonest. */
  private static Difference open(Comparison step) {
    return step.mean().outcome() == Outcome.CANNOT_TELL_YET
        ? step.mean()
        : step.lifts().stream()
            .map(LiftDifference::difference)
            .filter(d -> d.outcome() == Outcome.CANNOT_TELL_YET)
            .min((one, other) -> Integer.compare(runs(one), runs(other)))
            .orElseThrow();
  }

  private static int runs(Difference difference) {
    return difference.repeatsNeeded().orElse(Integer.MAX_VALUE);
  }

  private static Optional<String> untried(WhatNext next) {
    List<String> others = new ArrayList<>();
    for (WhatNext.Untried one : next.untried()) {
      others.add(
          "\"" + one.what() + "\" " + Sentences.claimed(one.step()) + " on " + one.on().name());
    }
    if (!others.isEmpty()) {
      return Optional.of("Not done here yet: " + String.join("; ", others) + ".");
    }
    boolean done = next.last().filter(Overall.GAINED::equals).isPresent();
    return done
        ? Optional.of("No change that gained on another port is left to try on this one.")
        : Optional.empty();
  }
}
