package meniscus.recorder.cli.upkeep;

import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.recorder.cli.terminal.Answers;
import meniscus.recorder.cli.terminal.AtTerminal;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.upkeep.PlateRun;

/** Guides the operator from plate to plate, on the terminal or standard input. */
final class PlatesAtTerminal extends AtTerminal implements PlateRun.Operator {

  private static final List<String> WORDS =
      Stream.concat(Stream.of(Bevel.values()).map(Bevel::word), Stream.of("skip")).toList();

  private final Direction direction;
  private final boolean simulated;
  private int missed;

  /**
   * @param simulated plates are mounted without asking, the right way round
   */
  PlatesAtTerminal(Console console, Direction direction, boolean simulated) {
    super(console, new Answers(console));
    this.direction = direction;
    this.simulated = simulated;
  }

  /** Readings that could not be taken. */
  int missed() {
    return missed;
  }

  @Override
  public Optional<Bevel> mounted(Plate plate) throws InterruptedException {
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
            WORDS);
    return Stream.of(Bevel.values()).filter(bevel -> bevel.word().equals(answer)).findFirst();
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
  public void missed(Plate plate, String why) {
    missed++;
    console.warn("plate " + plate.name() + ": " + why);
  }
}
