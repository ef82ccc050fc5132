package meniscus.recorder.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import meniscus.core.pipeline.Command;
import meniscus.recorder.cli.terminal.OperatorInput;
import org.junit.jupiter.api.Test;

class OperatorInputTest {

  private final List<String> said = new ArrayList<>();

  /** Feeds lines that come so many seconds apart. */
  private void type(double secondsApart, String lines) {
    long[] now = {0};
    new OperatorInput(
            new ByteArrayInputStream(lines.getBytes(StandardCharsets.UTF_8)),
            new OperatorInput.Takes() {
              @Override
              public void submit(Command command) {
                said.add("at once: " + command);
              }

              @Override
              public void submitInOrder(Command command) {
                said.add("in order: " + command);
              }

              @Override
              public Optional<String> read(String reading, boolean inOrder) {
                said.add((inOrder ? "in order, reading: " : "reading: ") + reading);
                return reading.isEmpty() ? Optional.of("no reading") : Optional.empty();
              }
            },
            said::add,
            () -> said.add("end"),
            () -> now[0] += Math.round(secondsApart * 1e9))
        .run();
  }

  @Test
  void linesThatComeTogetherAreInOrderAndLaterOnesAtOnce() {
    type(0.001, "keep\nkeep now\n");
    type(5, "redo\nredo 4\n");

    assertEquals(
        List.of(
            "at once: " + new Command.Keep(false),
            "in order: " + new Command.Keep(true),
            "end",
            "at once: " + new Command.Redo(OptionalInt.empty()),
            "at once: " + new Command.Redo(OptionalInt.of(4)),
            "end"),
        said);
  }

  @Test
  void aReadingIsPassedOnAsItIsTyped() {
    type(5, "read test_pressure 27.5..28.7\nread\n");

    assertEquals(
        List.of("reading: test_pressure 27.5..28.7", "reading: ", "no reading", "end"), said);
  }

  @Test
  void aBareNumberIsAReadingAsAKeyboardWedgeTypesIt() {
    type(5, "12.31\r\n-0,5\n27.5..28.7 mmH2O\n");

    assertEquals(
        List.of("reading: 12.31", "reading: -0,5", "reading: 27.5..28.7 mmH2O", "end"), said);
  }

  @Test
  void aNoteKeepsItsTextAndTheLastLineNeedsNoEnd() {
    type(5, "\r\n  NOTE  café: 3 mm, \"left\"  \r\n\nstop");

    assertEquals(
        List.of(
            "at once: " + new Command.Note("café: 3 mm, \"left\""),
            "at once: " + new Command.Stop("by the operator"),
            "end"),
        said);
  }

  @Test
  void whatIsNoCommandIsRefusedInWordsAndALongLineIsCut() {
    type(5, "kep\nredo two\nnote " + "x".repeat(100_000) + "\n");

    assertTrue(said.get(0).contains("no command \"kep\""), said.get(0));
    assertTrue(
        said.get(1).contains("redo takes the number of a lift, 6 for \"6 of 12\", not \"two\""),
        said.get(1));
    assertTrue(said.get(2).length() < 5000);
  }
}
