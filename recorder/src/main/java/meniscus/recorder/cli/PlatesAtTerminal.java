package meniscus.recorder.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Optional;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.recorder.upkeep.PlateRun;

/** Guides the operator from plate to plate, on the terminal or standard input. */
final class PlatesAtTerminal implements PlateRun.Operator {

  private final Console console;
  private final Direction direction;
  private final boolean simulated;
  private final BufferedReader in;
  private int missed;

  /**
   * @param simulated plates are mounted without asking, the right way round
   */
  PlatesAtTerminal(Console console, Direction direction, boolean simulated) {
    this.console = console;
    this.direction = direction;
    this.simulated = simulated;
    this.in = new BufferedReader(new InputStreamReader(console.in(), StandardCharsets.UTF_8));
  }

  /** Readings that could not be taken. */
  int missed() {
    return missed;
  }

  @Override
  public Optional<Bevel> mounted(Plate plate) {
    if (simulated) {
      return Optional.of(Bevel.DOWNSTREAM);
    }
    console.warn(
        "Blower off. Mount plate "
            + plate.name()
            + " where the head stands, its bevel looking "
            + (direction == Direction.SUCTION ? "into the bench" : "into the room")
            + " (downstream), and make the joint tight. Then type where the bevel looks:"
            + " downstream, upstream or none; skip leaves the plate out.");
    while (true) {
      String answer = line().strip().toLowerCase(Locale.ROOT);
      if (answer.equals("skip")) {
        return Optional.empty();
      }
      for (Bevel bevel : Bevel.values()) {
        if (bevel.word().equals(answer)) {
          console.warn("Blower on; the test pressure is read as soon as it rests.");
          return Optional.of(bevel);
        }
      }
      console.warn("downstream, upstream, none or skip?");
    }
  }

  private String line() {
    try {
      String line = in.readLine();
      if (line == null) {
        throw CommandFailed.usage("nobody says where the bevel looks: standard input has ended");
      }
      return line;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Override
  public void told(String sentence) {
    console.warn(sentence);
  }

  @Override
  public void missed(Plate plate, String why) {
    missed++;
    console.warn("plate " + plate.name() + ": " + why);
  }
}
