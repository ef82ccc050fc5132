package meniscus.recorder.cli.terminal;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import java.util.regex.Pattern;
import meniscus.core.pipeline.Command;
import meniscus.core.refusal.Refusal;

/**
 * Reads what the operator types or another program sends: one command a line. Lines that come
 * together are a script: each is done when the keep before it is done. A line that comes later is
 * done at once: whoever sent it has seen how things stand.
 */
public final class OperatorInput implements Runnable {

  public static final String WORDS =
      "keep | keep now | redo [NUMBER] | skip | undo | confirm LIFT | seat [READING] | note TEXT | read READINGS"
          + " | stop";

  private static final Pattern NUMBER = Pattern.compile("[-+]?[.,]?[0-9]");

  private static final int LONGEST_LINE = 4096;

  /** A line that follows the one before within this belongs to it. */
  private static final Duration TOGETHER = Duration.ofSeconds(1);

  private final InputStream in;
  private final Takes takes;
  private final Consumer<String> refused;
  private final Runnable ended;
  private final LongSupplier nanoTime;
  private long lastLineNanos;

  /** Who takes the commands. */
  public interface Takes {
    /** To be done at once. */
    void submit(Command command);

    /** To be done once a keep that waits is done. */
    void submitInOrder(Command command);

    /**
     * Readings of instruments that are read by eye.
     *
     * @param inOrder once a keep that waits is done
     * @return why they are not taken; empty when they are
     */
    Optional<String> read(String readings, boolean inOrder);
  }

  public OperatorInput(
      InputStream in,
      Takes takes,
      Consumer<String> refused,
      Runnable ended,
      LongSupplier nanoTime) {
    this.in = in;
    this.takes = takes;
    this.refused = refused;
    this.ended = ended;
    this.nanoTime = nanoTime;
    this.lastLineNanos = nanoTime.getAsLong() - 2 * TOGETHER.toNanos();
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
      case "keep" -> submit(new Command.Keep(rest.equalsIgnoreCase("now")));
      case "redo" -> redo(rest);
      case "skip" -> submit(new Command.Skip());
      case "undo" -> submit(new Command.Undo());
      case "confirm" -> confirm(rest);
      case "seat" -> seat(rest);
      case "note" -> submit(new Command.Note(rest));
      case "read" -> takes.read(rest, together()).ifPresent(refused);
      case "stop" -> submit(new Command.Stop("by the operator"));
      default -> other(word, text);
    }
  }

  /** A number alone is what a gauge types that stands in for a keyboard. */
  private void other(String word, String text) {
    if (NUMBER.matcher(word).lookingAt()) {
      takes.read(text, together()).ifPresent(refused);
    } else {
      refused.accept("no command \"" + word + "\"; there are: " + WORDS);
    }
  }

  private void submit(Command command) {
    if (together()) {
      takes.submitInOrder(command);
    } else {
      takes.submit(command);
    }
  }

  private boolean together() {
    long now = nanoTime.getAsLong();
    boolean together = now - lastLineNanos < TOGETHER.toNanos();
    lastLineNanos = now;
    return together;
  }

  private void confirm(String rest) {
    try {
      submit(Command.Confirm.of(rest));
    } catch (Refusal e) {
      refused.accept("confirm takes a lift such as \"0.500 in\": " + e.getMessage());
    }
  }

  private void seat(String rest) {
    try {
      submit(Command.Seat.of(rest));
    } catch (Refusal e) {
      refused.accept("seat takes what the dial shows, such as \"0.0005 in\": " + e.getMessage());
    }
  }

  private void redo(String rest) {
    try {
      submit(
          new Command.Redo(
              rest.isEmpty() ? OptionalInt.empty() : OptionalInt.of(Integer.parseInt(rest))));
    } catch (NumberFormatException e) {
      refused.accept("redo takes the number of a lift, 6 for \"6 of 12\", not \"" + rest + "\"");
    }
  }
}
