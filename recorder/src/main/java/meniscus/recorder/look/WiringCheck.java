package meniscus.recorder.look;

import java.nio.file.Path;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.BoundInstrument;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;

/**
 * Leads a person through hoses, signs and units of a new bench, with the blower off: suck at each
 * hose, lift the dial by something known.
 */
public final class WiringCheck {

  private static final double LISTEN_SECONDS = 2;

  /** On a busy computer, or from a slow gauge, nothing may come in two seconds (our own choice). */
  private static final double PATIENCE_SECONDS = 10;

  private final UnaryOperator<String> asks;
  private final Consumer<String> says;
  private final Set<Use> inverted = EnumSet.noneOf(Use.class);
  private int faults;
  private boolean onlySigns = true;
  private boolean whole = true;

  /**
   * @param asks shows a question and gives the answer; empty where nobody answers any more
   * @param says shows a line
   */
  public WiringCheck(UnaryOperator<String> asks, Consumer<String> says) {
    this.asks = asks;
    this.says = says;
  }

  /**
   * Looks.
   *
   * @return how many faults were found
   */
  public int of(Path benchFile, Drivers drivers) throws InterruptedException {
    Bench bench = BenchFile.read(benchFile);
    List<BoundInstrument> wired = Feeds.wire(bench, benchFile, drivers);
    Range range = bench.ranges().get(0);
    Map<Use, Source.Measured> used = DryRun.used(bench, range);
    try (Feed feed = Feeds.open(bench, wired, Feeds.Simulation.usual(), Moment.START).feed()) {
      asks.apply("Blower off, hoses open to the room, dial on its seat; then Enter: ");
      Map<Use, Double> rest =
          means(Set.of(Use.TEST_PRESSURE, Use.ELEMENT_DROP), feed, bench, wired, used);
      rest.forEach(
          (use, mean) ->
              says.accept(use.word() + " " + shown(mean, unit(wired, bench, used, use))));
      suck(Use.TEST_PRESSURE, "plenum", Use.ELEMENT_DROP, rest, feed, bench, wired, used);
      suck(Use.ELEMENT_DROP, "flow element", Use.TEST_PRESSURE, rest, feed, bench, wired, used);
      known(
          Use.LIFT,
          "Lift the dial by something known, such as a feeler gauge",
          "0.100 in",
          rest,
          feed,
          bench,
          wired,
          used);
      known(
          Use.TEST_PRESSURE,
          "Put a known pressure on it, such as a water column's",
          "10 inH2O",
          rest,
          feed,
          bench,
          wired,
          used);
    }
    return faults;
  }

  /** Of the last look: both pressures could be looked at. */
  public boolean whole() {
    return whole;
  }

  /** Of the last look: what shows the other sign, which the bench file can put right. */
  public Set<Use> inverted() {
    return Set.copyOf(inverted);
  }

  /** Of the last look: nothing is wrong, or nothing that {@link #inverted} does not put right. */
  public boolean onlySigns() {
    return onlySigns;
  }

  private void suck(
      Use use,
      String where,
      Use other,
      Map<Use, Double> rest,
      Feed feed,
      Bench bench,
      List<BoundInstrument> wired,
      Map<Use, Source.Measured> used)
      throws InterruptedException {
    if (!rest.containsKey(use) || !rest.containsKey(other)) {
      says.accept(use.word() + " says nothing by itself: not looked at");
      whole = false;
      return;
    }
    asks.apply(
        "Suck gently at the hose of " + use.word() + " (" + where + ") and hold; then Enter: ");
    Map<Use, Double> now = means(Set.of(use, other), feed, bench, wired, used);
    report(
        use,
        WiringFault.ofSuction(
            use.word(), moved(use, now, rest, used), other.word(), moved(other, now, rest, used)));
  }

  private void known(
      Use use,
      String what,
      String example,
      Map<Use, Double> rest,
      Feed feed,
      Bench bench,
      List<BoundInstrument> wired,
      Map<Use, Source.Measured> used)
      throws InterruptedException {
    if (!rest.containsKey(use)) {
      return;
    }
    String answer =
        asks.apply(what + ", and type how much (as " + example + "), or Enter to leave it out: ");
    if (answer.isBlank()) {
      return;
    }
    try {
      double trueSi = Value.si(answer, use.dimension());
      Map<Use, Double> now = means(Set.of(use), feed, bench, wired, used);
      report(
          use,
          WiringFault.ofKnown(
              use.word(), moved(use, now, rest, used), trueSi, unit(wired, bench, used, use)));
    } catch (Refusal noQuantity) {
      says.accept(noQuantity.getMessage());
    }
  }

  private void report(Use use, Optional<WiringFault> fault) {
    if (fault.isPresent()) {
      faults++;
      if (fault.get().kind() == WiringFault.Kind.INVERTED) {
        inverted.add(use);
      } else {
        onlySigns = false;
      }
      says.accept("fault: " + fault.get().text());
    } else {
      says.accept(use.word() + " is right");
    }
  }

  /** With the sign that the bench file gives it. */
  private static double moved(
      Use use, Map<Use, Double> now, Map<Use, Double> rest, Map<Use, Source.Measured> used) {
    double moved = now.getOrDefault(use, rest.get(use)) - rest.get(use);
    return used.get(use).inverted() ? -moved : moved;
  }

  /**
   * @param awaited what is listened for, beyond the usual time where it has not been heard
   */
  private static Map<Use, Double> means(
      Set<Use> awaited,
      Feed feed,
      Bench bench,
      List<BoundInstrument> wired,
      Map<Use, Source.Measured> used)
      throws InterruptedException {
    double from = feed.now().seconds();
    Map<Use, double[]> heard = new EnumMap<>(Use.class);
    while (feed.now().seconds() < from + LISTEN_SECONDS
        || !heard.keySet().containsAll(awaited) && feed.now().seconds() < from + PATIENCE_SECONDS) {
      Optional<BenchEvent> event = feed.next(0.1);
      event.ifPresent(
          one ->
              one.fold(
                  arrived ->
                      arrived.frame().moment().seconds() < from
                          ? null
                          : DryRun.take(arrived.frame(), bench, wired, used, heard),
                  bad -> null,
                  gone -> null,
                  back -> null,
                  ended -> null,
                  remark -> null));
    }
    Map<Use, Double> means = new EnumMap<>(Use.class);
    heard.forEach(
        (use, counted) -> {
          if (counted[0] > counted[2]) {
            means.put(use, counted[1] / (counted[0] - counted[2]));
          }
        });
    return means;
  }

  private static Unit unit(
      List<BoundInstrument> wired, Bench bench, Map<Use, Source.Measured> used, Use use) {
    Source.Measured gauge = used.get(use);
    return wired.stream()
        .filter(each -> each.instrument().id().equals(gauge.instrument()))
        .flatMap(each -> each.channels().stream())
        .filter(channel -> channel.name().equals(gauge.channel()))
        .findFirst()
        .orElseThrow()
        .unit();
  }

  private static String shown(double si, Unit unit) {
    return String.format(Locale.ROOT, "%s at rest", PlanChecks.shown(si, unit));
  }
}
