package meniscus.recorder.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.OptionalInt;
import java.util.function.Consumer;
import meniscus.core.pipeline.Command;

/** Reads what the operator types or another program sends: one command a line. */
final class OperatorInput implements Runnable {

  static final String WORDS = "keep | keep now | redo [RUNG] | skip | undo | note TEXT | stop";

  private static final int LONGEST_LINE = 4096;

  private final InputStream in;
  private final Consumer<Command> commands;
  private final Consumer<String> refused;
  private final Runnable ended;

  OperatorInput(
      InputStream in, Consumer<Command> commands, Consumer<String> refused, Runnable ended) {
    this.in = in;
    this.commands = commands;
    this.refused = refused;
    this.ended = ended;
  }

  @Override
  public void run() {
    try {
      BufferedReader reader = new BufferedReader(new InputStreamReader(in, StandardCharsets.UTF_8));
      StringBuilder line = new StringBuilder();
      for (int next = reader.read(); next >= 0; next = reader.read()) {
        if (next == '\n') {
          take(line.toString());
          line.setLength(0);
        } else if (line.length() < LONGEST_LINE) {
          line.append((char) next);
        }
      }
      take(line.toString());
    } catch (IOException gone) {
      refused.accept("standard input is gone: " + gone.getMessage());
    }
    ended.run();
  }

  private void take(String line) {
    String text = line.strip();
    if (text.isEmpty()) {
      return;
    }
    String word = text.split("\\s+", 2)[0].toLowerCase(Locale.ROOT);
    String rest = text.substring(word.length()).strip();
    switch (word) {
      case "keep" -> commands.accept(new Command.Keep(rest.equalsIgnoreCase("now")));
      case "redo" -> redo(rest);
      case "skip" -> commands.accept(new Command.Skip());
      case "undo" -> commands.accept(new Command.Undo());
      case "note" -> commands.accept(new Command.Note(rest));
      case "stop" -> commands.accept(new Command.Stop("by the operator"));
      default -> refused.accept("no command \"" + word + "\"; there are: " + WORDS);
    }
  }

  private void redo(String rest) {
    try {
      commands.accept(
          new Command.Redo(
              rest.isEmpty() ? OptionalInt.empty() : OptionalInt.of(Integer.parseInt(rest))));
    } catch (NumberFormatException e) {
      refused.accept("redo takes a rung's number, not \"" + rest + "\"");
    }
  }
}
