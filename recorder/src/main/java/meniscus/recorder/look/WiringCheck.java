package meniscus.recorder.look;

import java.nio.file.Path;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.quantity.Text;
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

  /** The bench that is looked at, and its gauges. */
  private record Wired(
      Bench bench, List<BoundInstrument> instruments, Map<Use, Source.Measured> used, Feed feed) {

    BoundInstrument instrument(Use use) {
      return instruments.stream()
          .filter(each -> each.instrument().id().equals(used.get(use).instrument()))
          .findFirst()
          .orElseThrow();
    }

    /** Of these the ones that a person need not read. */
    Set<Use> speaking(Use... uses) {
      return Stream.of(uses)
          .filter(use -> !instrument(use).isByHand())
          .collect(Collectors.toCollection(() -> EnumSet.noneOf(Use.class)));
    }

    Unit unit(Use use) {
      return instrument(use).channels().stream()
          .filter(channel -> channel.name().equals(used.get(use).channel()))
          .findFirst()
          .orElseThrow()
          .unit();
    }
  }

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
    List<BoundInstrument> instruments = Feeds.wire(bench, benchFile, drivers);
    Map<Use, Source.Measured> used = DryRun.used(bench, bench.ranges().get(0));
    try (Feed feed =
        Feeds.open(bench, instruments, Feeds.Simulation.usual(), Moment.START).feed()) {
      Wired wired = new Wired(bench, instruments, used, feed);
      asks.apply("Blower off, hoses open to the room, dial on its seat; then Enter: ");
      Map<Use, Double> rest = means(wired.speaking(Use.TEST_PRESSURE, Use.ELEMENT_DROP), wired);
      rest.forEach((use, mean) -> says.accept(use.word() + " " + shown(mean, wired.unit(use))));
      suck(Use.TEST_PRESSURE, "plenum", Use.ELEMENT_DROP, rest, wired);
      suck(Use.ELEMENT_DROP, "flow element", Use.TEST_PRESSURE, rest, wired);
      known(
          Use.LIFT,
          "Lift the dial by something known, such as a feeler gauge",
          "0.100 in",
          rest,
          wired);
      known(
          Use.TEST_PRESSURE,
          "Put a known pressure on it, such as a water column's",
          "10 inH2O",
          rest,
          wired);
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

  private void suck(Use use, String where, Use other, Map<Use, Double> rest, Wired wired)
      throws InterruptedException {
    Set<Use> speaking = wired.speaking(use, other);
    if (!speaking.contains(use)) {
      says.accept(use.word() + " is read by eye: not looked at");
      whole = false;
      return;
    }
    if (!rest.keySet().containsAll(speaking)) {
      says.accept(use.word() + " says nothing by itself: not looked at");
      whole = false;
      return;
    }
    asks.apply(
        "Suck gently at the hose of " + use.word() + " (" + where + ") and hold; then Enter: ");
    Map<Use, Double> now = means(speaking, wired);
    double others = speaking.contains(other) ? moved(other, now, rest, wired) : 0;
    report(
        use, WiringFault.ofSuction(use.word(), moved(use, now, rest, wired), other.word(), others));
  }

  private void known(Use use, String what, String example, Map<Use, Double> rest, Wired wired)
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
      Map<Use, Double> now = means(Set.of(use), wired);
      report(
          use,
          WiringFault.ofKnown(use.word(), moved(use, now, rest, wired), trueSi, wired.unit(use)));
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
  private static double moved(Use use, Map<Use, Double> now, Map<Use, Double> rest, Wired wired) {
    double moved = now.getOrDefault(use, rest.get(use)) - rest.get(use);
    return wired.used().get(use).inverted() ? -moved : moved;
  }

  /**
   * @param awaited what is listened for, beyond the usual time where it has not been heard
   */
  private static Map<Use, Double> means(Set<Use> awaited, Wired wired) throws InterruptedException {
    Feed feed = wired.feed();
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
                          : DryRun.take(
                              arrived.frame(),
                              wired.bench(),
                              wired.instruments(),
                              wired.used(),
                              heard),
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

  private static String shown(double si, Unit unit) {
    return Text.of("%s at rest", PlanChecks.shown(si, unit));
  }
}
