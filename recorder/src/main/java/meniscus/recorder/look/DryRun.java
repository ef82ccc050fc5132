package meniscus.recorder.look;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Rejected;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.MessageWords;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.BoundInstrument;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.look.Check.Area;
import meniscus.recorder.look.Check.State;
import meniscus.recorder.session.Assembly;
import meniscus.recorder.session.FolderFiles;

/**
 * A lift test without air: everything that can be seen before the blower starts, in the order in
 * which it would fail.
 */
public final class DryRun {

  /** Room air beyond these is a wrong unit or a wrong channel, not weather [K, Pa]. */
  private static final double[] ROOM_K = {263, 323};

  private static final double[] ROOM_PA = {60_000, 108_000};

  /** At rest the test pressure's gauge shows less than this share of what will be asked of it. */
  private static final double AT_REST = 0.05;

  private final Path benchFile;
  private final Path planFile;
  private final Drivers drivers;
  private final double seconds;
  private final List<Check> checks = new ArrayList<>();

  private DryRun(Path benchFile, Path planFile, Drivers drivers, double seconds) {
    this.benchFile = benchFile;
    this.planFile = planFile;
    this.drivers = drivers;
    this.seconds = seconds;
  }

  /**
   * Looks at everything.
   *
   * @param seconds how long to listen to the instruments
   * @return what was found; never empty
   */
  public static List<Check> of(Path benchFile, Path planFile, Drivers drivers, double seconds)
      throws InterruptedException {
    DryRun run = new DryRun(benchFile, planFile, drivers, seconds);
    run.look();
    return run.checks.stream().sorted(Comparator.comparing(Check::area)).toList();
  }

  private void look() throws InterruptedException {
    Assembly assembly;
    try {
      assembly = Assembly.of(FolderFiles.gather(benchFile, planFile));
      assembly.calibration();
    } catch (FileNotAccepted | Refusal fault) {
      add(Area.FILES, State.FAULT, fault.getMessage());
      return;
    }
    Bench bench = assembly.bench();
    add(Area.FILES, State.GOOD, bench.name() + " and the plan can be read");
    Optional<List<BoundInstrument>> wired = sheets(bench, assembly);
    if (wired.isPresent()) {
      listen(bench, assembly, wired.get());
      assembly
          .calmLeftOut()
          .map(MessageWords::calmLeftOut)
          .ifPresent(words -> add(Area.HEALTH, State.DOUBT, words));
    }
    checks.addAll(PlanChecks.of(bench, assembly.plan(), assembly.range(), assembly.calibration()));
    checks.addAll(GaugeChecks.of(bench, assembly.plan(), assembly.range()));
    List<String> tasks = EpochTasks.open(bench, ByEye.calmCanBeTaken(bench, benchFile));
    tasks.forEach(task -> add(Area.HEALTH, State.DOUBT, "still to do: " + task));
    if (tasks.isEmpty()) {
      add(Area.HEALTH, State.GOOD, "nothing is left to do since the bench was last changed");
    }
  }

  private Optional<List<BoundInstrument>> sheets(Bench bench, Assembly assembly) {
    try {
      List<BoundInstrument> wired = Feeds.wire(bench, benchFile, drivers);
      assembly.acquisition(wired.stream().map(BoundInstrument::channels).toList());
      add(Area.SHEETS, State.GOOD, "every sheet fits its driver, every channel its use");
      return Optional.of(wired);
    } catch (FileNotAccepted | Refusal fault) {
      add(Area.SHEETS, State.FAULT, fault.getMessage());
      return Optional.empty();
    }
  }

  private void listen(Bench bench, Assembly assembly, List<BoundInstrument> wired)
      throws InterruptedException {
    Map<Use, Source.Measured> used = used(bench, assembly.range());
    Map<Use, double[]> heard = new EnumMap<>(Use.class);
    String[] lost = new String[wired.size()];
    String[] unread = new String[wired.size()];
    Feeds.Simulation usual = Feeds.Simulation.usual();
    Feeds.Simulation quick = new Feeds.Simulation(true, usual.seed(), usual.mounted());
    try (Feed feed = Feeds.open(bench, wired, quick, Moment.START).feed()) {
      while (feed.now().seconds() < seconds) {
        Optional<BenchEvent> event = feed.next(0.1);
        event.ifPresent(
            one ->
                one.fold(
                    arrived -> take(arrived.frame(), bench, wired, used, heard),
                    bad -> unread[bad.instrument()] = unread(bad.rejected()),
                    gone -> lost[gone.instrument()] = gone.reason(),
                    back -> lost[back.instrument()] = null,
                    ended -> null,
                    remark -> null));
      }
    } catch (Refusal fault) {
      add(Area.CHANNELS, State.FAULT, fault.getMessage());
      return;
    }
    used.forEach((use, gauge) -> tell(use, gauge, heard.get(use), bench, wired, lost, unread));
    atRest(assembly, heard, used);
  }

  /** An answer that never came is silence, and says so itself. */
  private static String unread(Rejected rejected) {
    String reason = rejected.reason();
    return rejected.bytes().isEmpty() ? reason : "what came does not fit its sheet: " + reason;
  }

  static Map<Use, Source.Measured> used(Bench bench, Range range) {
    Map<Use, Source.Measured> used = new EnumMap<>(Use.class);
    bench
        .channels()
        .forEach(
            (use, source) -> {
              if (source instanceof Source.Measured gauge) {
                used.put(use, gauge);
              }
            });
    used.put(Use.ELEMENT_DROP, range.drop());
    return used;
  }

  /** Number of readings, their sum, and how many were over range, by use. */
  static Object take(
      Frame frame,
      Bench bench,
      List<BoundInstrument> wired,
      Map<Use, Source.Measured> used,
      Map<Use, double[]> heard) {
    String id = bench.instruments().get(frame.instrument()).id();
    List<Channel> channels = wired.get(frame.instrument()).channels();
    used.forEach(
        (use, gauge) -> {
          for (int c = 0; c < channels.size(); c++) {
            double value = frame.valuesSi()[c];
            if (gauge.instrument().equals(id)
                && gauge.channel().equals(channels.get(c).name())
                && !Double.isNaN(value)) {
              double[] counted = heard.computeIfAbsent(use, key -> new double[3]);
              boolean over = !(value > gauge.lowSi() && value < gauge.highSi());
              counted[0]++;
              counted[1] += over ? 0 : value;
              counted[2] += over ? 1 : 0;
            }
          }
        });
    return null;
  }

  private void tell(
      Use use,
      Source.Measured gauge,
      double[] counted,
      Bench bench,
      List<BoundInstrument> wired,
      String[] lost,
      String[] unread) {
    int index = 0;
    while (!bench.instruments().get(index).id().equals(gauge.instrument())) {
      index++;
    }
    List<Channel> channels = wired.get(index).channels();
    Channel channel =
        channels.stream()
            .filter(one -> one.name().equals(gauge.channel()))
            .findFirst()
            .orElseThrow();
    String what = use.word() + " (" + gauge.key() + ")";
    if (counted == null) {
      if (channel.isReadByEye(channels)) {
        add(Area.CHANNELS, State.GOOD, what + " is read by eye");
        return;
      }
      String why =
          lost[index] != null
              ? lost[index]
              : unread[index] != null
                  ? unread[index]
                  : Text.of(
                      "nothing came for %.0f s: is it on, is the cable in, is it the right port?",
                      seconds);
      add(Area.CHANNELS, State.FAULT, what + ": " + why);
      return;
    }
    double good = counted[0] - counted[2];
    if (good == 0) {
      add(Area.CHANNELS, State.FAULT, what + " is over range or gives no value");
      return;
    }
    double mean = counted[1] / good;
    Unit unit = channel.unit();
    String rate = Text.of(", %.3g readings a second", counted[0] / seconds);
    double[] plausible =
        use == Use.ROOM_TEMPERATURE ? ROOM_K : use == Use.ROOM_PRESSURE ? ROOM_PA : null;
    if (plausible != null && (mean < plausible[0] || mean > plausible[1])) {
      add(
          Area.CHANNELS,
          State.DOUBT,
          what + " says " + PlanChecks.shown(mean, unit) + ": is its unit right?");
    } else {
      add(Area.CHANNELS, State.GOOD, what + " " + PlanChecks.shown(mean, unit) + rate);
    }
  }

  /** With the blower off nothing should stand across the port. */
  private void atRest(Assembly assembly, Map<Use, double[]> heard, Map<Use, Source.Measured> used) {
    double aim = assembly.plan().testPressurePa();
    for (Use use : List.of(Use.TEST_PRESSURE, Use.ELEMENT_DROP)) {
      double[] counted = heard.get(use);
      if (counted == null || counted[0] == counted[2]) {
        continue;
      }
      double zero = assembly.bench().zero(used.get(use)).offsetSi();
      double mean = counted[1] / (counted[0] - counted[2]) - zero;
      if (Math.abs(mean) > AT_REST * aim) {
        add(
            Area.CHANNELS,
            State.DOUBT,
            use.word()
                + " shows "
                + PlanChecks.shown(mean, assembly.plan().units().pressure())
                + " more than its zero: is the blower off? If it is, take the zero anew, and look"
                + " at its supply and reference voltage");
      }
    }
  }

  private void add(Area area, State state, String text) {
    checks.add(new Check(area, state, text));
  }
}
