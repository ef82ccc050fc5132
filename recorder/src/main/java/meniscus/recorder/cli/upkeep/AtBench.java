package meniscus.recorder.cli.upkeep;

import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.bench.Evidence;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Worded;
import meniscus.recorder.cli.terminal.Answers;
import meniscus.recorder.cli.terminal.AtTerminal;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.feed.BenchMessage;
import meniscus.recorder.upkeep.BenchOperator;

/** Guides the operator through upkeep, on the terminal or standard input. */
final class AtBench extends AtTerminal implements BenchOperator {

  private static final List<String> BEVELS =
      Stream.concat(Worded.words(Bevel.values()).stream(), Stream.of("skip")).toList();

  private static final List<String> THEN = Worded.words(Then.values());

  private static final List<String> READY = List.of("ready");

  private static final int LIVE_WIDTH = 100;

  /** Nobody reads faster than this (our own choice). */
  private static final long SHOWN_NANOS = 200_000_000;

  private final boolean simulated;
  private final Unit pressure;
  private final boolean terminal = Console.terminal().isPresent();
  private String step = "";
  private long shownAt;
  private boolean liveLine;
  private boolean scaled;

  /**
   * @param simulated plates are mounted without asking, the right way round
   * @param pressure unit of the bench's owner
   */
  AtBench(Console console, Answers answers, boolean simulated, Unit pressure) {
    super(console, answers);
    this.pressure = pressure;
    this.simulated = simulated;
  }

  @Override
  public void told(BenchMessage message) {
    clear();
    super.told(message);
  }

  @Override
  public void step(Step now) {
    step = now.words();
  }

  /** One line, written over and over, where a person looks at a terminal. */
  @Override
  public void live(Live live) {
    long now = System.nanoTime();
    if (!terminal || now - shownAt < SHOWN_NANOS) {
      return;
    }
    shownAt = now;
    String text = words(step, live, pressure);
    console.err().print("\r" + text + " ".repeat(Math.max(0, LIVE_WIDTH - text.length())));
    console.err().flush();
    liveLine = true;
  }

  /** Where the reading stands. */
  static String words(String step, Live live, Unit pressure) {
    String wanted =
        live.atRest()
            ? "at rest"
            : Text.of(
                "%s %.2f to %.2f",
                live.inBand() ? "in" : "NOT in",
                pressure.fromSi((1 - live.band()) * live.askedPa()),
                pressure.fromSi((1 + live.band()) * live.askedPa()));
    return Text.of(
        "%s  test pressure %s %s, %s  drop %s  still %.0f of %.0f s",
        step,
        number(live.pressurePa(), pressure),
        pressure.symbol(),
        wanted,
        number(live.dropPa(), pressure),
        live.stillSeconds(),
        live.longestSeconds());
  }

  private static String number(double pascals, Unit pressure) {
    return Double.isFinite(pascals) ? Text.of("%.2f", pressure.fromSi(pascals)) : "–";
  }

  @Override
  public void point(Evidence.Point point) {
    clear();
    if (!scaled) {
      console.warn(CorrectionStrip.scale());
      scaled = true;
    }
    console.warn(CorrectionStrip.line(point, pressure));
  }

  private void clear() {
    if (liveLine) {
      console.err().print("\r" + " ".repeat(LIVE_WIDTH) + "\r");
      console.err().flush();
      liveLine = false;
    }
  }

  @Override
  public Optional<Bevel> mounted(Plate plate, Direction direction) throws InterruptedException {
    if (simulated) {
      console.warn("plate " + plate.name() + " is mounted on the simulated bench");
      return Optional.of(Bevel.DOWNSTREAM);
    }
    String answer =
        answers.one(
            "Blower off. Mount plate "
                + plate.name()
                + " where the head stands, its bevel looking "
                + (direction == Direction.SUCTION ? "into the bench" : "into the room")
                + " (downstream), and make the joint tight. Blower on. Then type where the bevel"
                + " looks: downstream, upstream or none; skip leaves the plate out.",
            BEVELS);
    return Worded.named(Bevel.values(), answer);
  }

  @Override
  public void prepare(String what) throws InterruptedException {
    ready(what);
  }

  @Override
  public void ready(String what) throws InterruptedException {
    if (!simulated) {
      answers.one(what + " Then type ready.", READY);
    }
  }

  @Override
  public boolean takesOver(String left) throws InterruptedException {
    if (simulated) {
      console.warn(left + " are used");
      return true;
    }
    String question = left + " are at hand. Type yes to use them, or no to read all plates again.";
    return answers.one(question, List.of("yes", "no")).equals("yes");
  }

  @Override
  public Then missed(String what, String why) throws InterruptedException {
    if (simulated) {
      console.warn(what + ": " + why);
      return Then.LEAVE_OUT;
    }
    String answer =
        answers.one(
            Text.of(
                "%s: %s. Type again, longer (with three times the patience), or skip to leave it"
                    + " out.",
                what, why),
            THEN);
    return Worded.named(Then.values(), answer).orElseThrow();
  }
}
