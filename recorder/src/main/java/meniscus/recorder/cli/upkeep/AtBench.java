package meniscus.recorder.cli.upkeep;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.recorder.cli.terminal.Answers;
import meniscus.recorder.cli.terminal.AtTerminal;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.upkeep.BenchOperator;

/** Guides the operator through upkeep, on the terminal or standard input. */
final class AtBench extends AtTerminal implements BenchOperator {

  private static final List<String> BEVELS =
      Stream.concat(Stream.of(Bevel.values()).map(Bevel::word), Stream.of("skip")).toList();

  private static final List<String> THEN = Stream.of(Then.values()).map(Then::word).toList();

  private static final List<String> READY = List.of("ready");

  private final boolean simulated;

  /**
   * @param simulated plates are mounted without asking, the right way round
   */
  AtBench(Console console, Answers answers, boolean simulated) {
    super(console, answers);
    this.simulated = simulated;
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
    return Stream.of(Bevel.values()).filter(bevel -> bevel.word().equals(answer)).findFirst();
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
            String.format(
                Locale.ROOT,
                "%s: %s. Type again, longer (with three times the patience), or skip to leave it"
                    + " out.",
                what,
                why),
            THEN);
    return Stream.of(Then.values())
        .filter(then -> then.word().equals(answer))
        .findFirst()
        .orElseThrow();
  }
}
