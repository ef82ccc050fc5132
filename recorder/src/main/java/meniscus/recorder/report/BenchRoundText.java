package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.compare.BenchRound;
import meniscus.core.decide.Estimate;
import meniscus.core.finding.InUnits;
import meniscus.core.quantity.Text;
import meniscus.core.roundrobin.RoundRobin;

/** One head on several benches for the terminal: each bench, a plot, who should look at what. */
public final class BenchRoundText {

  /** Columns of the plot either side of its middle (our own choice: fits 80 with the numbers). */
  private static final int HALF = 16;

  /** Below this the benches contradict each other (as usual, 5 %). */
  private static final double DISAGREE = 0.05;

  private BenchRoundText() {}

  public static List<String> lines(BenchRound round) {
    List<String> lines = new ArrayList<>();
    InUnits in = new InUnits(round.units());
    RoundRobin mean = round.mean();
    Estimate reference = mean.reference();
    lines.add(
        (round.ofPlate() ? "One plate on " : "One head on ")
            + mean.benches().size()
            + " benches. Those that agree say "
            + in.flow(reference.value(), reference.u95())
            + " ± "
            + in.flow(reference.u95(), reference.u95())
            + (round.ofPlate()
                ? " as its flow."
                : " as its mean flow over "
                    + round.lifts().size()
                    + (round.lifts().size() == 1 ? " lift." : " lifts.")));
    lines.add("");
    benches(lines, mean, in);
    lines.add("");
    lines.add(left(mean));
    lines.add(drift(mean, round.ofPlate() ? "plate" : "head"));
    if (!round.unknownRefit().isEmpty()) {
      lines.add(
          "How well a head can be put back is not known of "
              + String.join(", ", round.unknownRefit())
              + ": run meniscus repeat there; until then the intervals may be too narrow.");
    }
    lines.add("");
    if (!round.ofPlate()) {
      lifts(lines, round, in);
      lines.add("");
    }
    if (round.look().isEmpty()) {
      lines.add("No bench stands out from the others.");
    }
    round
        .look()
        .forEach(
            look ->
                lines.add(round.ofPlate() ? ofPlate(look) : words(look, round.lifts().size(), in)));
    lines.add(
        "If every bench is as good as it says, a bench stands out in at most 5 of 100 such rounds."
            + " No bench is corrected by this.");
    ComparisonText.addTo(lines, round.findings());
    return lines;
  }

  private static void benches(List<String> lines, RoundRobin found, InUnits in) {
    double reference = found.reference().value();
    double widest =
        found.benches().stream()
            .mapToDouble(one -> Math.abs(one.difference().value()) + one.difference().u95())
            .max()
            .orElseThrow();
    int name = found.benches().stream().mapToInt(one -> one.bench().length()).max().orElseThrow();
    for (RoundRobin.Equivalence one : found.benches()) {
      double off = one.difference().value() / reference;
      double u95 = one.difference().u95() / reference;
      lines.add(
          Text.of(
              "%-" + name + "s  %s  %s ± %s  %s%s",
              one.bench(),
              in.flow(one.value(), one.difference().u95()),
              InUnits.signedPercent(off, u95),
              InUnits.half(u95),
              plot(one.difference(), widest),
              one.standsOut() ? "  stands out" : ""));
    }
  }

  /** {@code | ---|--o--- |}: the middle is the reference value. */
  private static String plot(Estimate difference, double widest) {
    char[] row = " ".repeat(2 * HALF + 1).toCharArray();
    for (int i = at(difference.value() - difference.u95(), widest);
        i <= at(difference.value() + difference.u95(), widest);
        i++) {
      row[i] = '-';
    }
    row[HALF] = '|';
    row[at(difference.value(), widest)] = 'o';
    return "[" + new String(row) + "]";
  }

  private static int at(double value, double widest) {
    return HALF + (int) Math.round(HALF * value / widest);
  }

  private static String left(RoundRobin mean) {
    double share = mean.left().standardDeviation() / mean.reference().value();
    if (!(share > 0)) {
      return "What the benches say of their own errors explains all that lies between"
          + (mean.benches().stream().anyMatch(RoundRobin.Equivalence::standsOut)
              ? " those that agree."
              : " them.");
    }
    boolean disagree = mean.left().chance() < DISAGREE;
    return "Between the benches is more than they account for: "
        + InUnits.percent(share)
        + " (one standard deviation)"
        + (disagree ? ", and no bench alone is to blame." : ", which may be chance.");
  }

  private static String drift(RoundRobin mean, String thing) {
    String pilot = mean.benches().get(0).bench();
    if (mean.drift().isEmpty()) {
      return "Whether the "
          + thing
          + " itself changed on its way is not known: "
          + (thing.equals("plate") ? "read" : "test")
          + " it again on "
          + pilot
          + ", where it was first.";
    }
    Estimate drift = mean.drift().get();
    double reference = mean.reference().value();
    return "From the first to the last test on "
        + pilot
        + " the "
        + thing
        + " itself changed by "
        + InUnits.signedPercent(drift.value() / reference, drift.u95() / reference)
        + " ± "
        + InUnits.half(drift.u95() / reference)
        + "; that is taken out of each value as a steady change.";
  }

  private static void lifts(List<String> lines, BenchRound round, InUnits in) {
    StringBuilder head = new StringBuilder(Text.of("%10s", "lift"));
    round.mean().benches().forEach(one -> head.append(Text.of("  %20s", one.bench())));
    lines.add(head.toString());
    for (BenchRound.AtLift at : round.lifts()) {
      StringBuilder line = new StringBuilder(Text.of("%10s", in.lift(at.liftM())));
      double reference = at.found().reference().value();
      for (RoundRobin.Equivalence one : at.found().benches()) {
        double u95 = one.difference().u95() / reference;
        line.append(
            Text.of(
                "  %20s",
                InUnits.signedPercent(one.difference().value() / reference, u95)
                    + " ± "
                    + InUnits.half(u95)
                    + (one.standsOut() ? " !" : "")));
      }
      lines.add(line.toString());
    }
  }

  private static String words(BenchRound.Look look, int lifts, InUnits in) {
    String where =
        look.liftsM().isEmpty()
            ? " in the mean"
            : look.liftsM().size() == lifts ? " at every lift" : " at " + in.lifts(look.liftsM());
    String what =
        switch (look.goes()) {
          case SAME_SHARE ->
              "It is off by the same share at every lift: look at its calibration, its plates and"
                  + " what its gauges multiply by.";
          case SAME_FLOW ->
              "It is off by the same flow at every lift: look at its leakage and its zeros.";
          case NOT_TOLD ->
              "How that goes with lift tells nothing yet: begin with a plate check, the zero of the"
                  + " dial and how the head sits.";
        };
    return look.bench() + " stands out" + where + ". " + what + largest(look);
  }

  private static String ofPlate(BenchRound.Look look) {
    return look.bench()
        + " stands out. Look at its zeros and its leakage, then at its calibration and how the"
        + " plate sits."
        + largest(look);
  }

  private static String largest(BenchRound.Look look) {
    return look.sources().isEmpty()
        ? ""
        : " Largest in its own budget: " + String.join(", ", look.sources()) + ".";
  }
}
