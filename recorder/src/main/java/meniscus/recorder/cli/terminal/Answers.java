package meniscus.recorder.cli.terminal;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;

/**
 * Asks the operator and reads what is typed, or what another program sends: one answer a line.
 * Standard input is read by a thread of its own, so that gauges are heard while nobody types.
 */
public final class Answers {

  private final Console console;
  private final BlockingQueue<Optional<String>> lines = new LinkedBlockingQueue<>();
  private boolean listening;

  public Answers(Console console) {
    this.console = console;
  }

  /**
   * Asks until one of the words is answered.
   *
   * @param question says what to do and what to type
   */
  public String one(String question, List<String> words) throws InterruptedException {
    console.warn(question);
    listen();
    while (true) {
      String answer = orEnded(lines.take(), String.join(", ", words)).toLowerCase(Locale.ROOT);
      if (words.contains(answer)) {
        return answer;
      }
      console.warn("type one of: " + String.join(", ", words));
    }
  }

  /** The next line that was typed, if there is one; does not wait. */
  Optional<String> typed() {
    listen();
    Optional<String> line = lines.poll();
    return line == null ? Optional.empty() : Optional.of(orEnded(line, "a reading"));
  }

  private static String orEnded(Optional<String> line, String wanted) {
    return line.orElseThrow(
        () ->
            CommandFailed.usage(
                "standard input has ended where an answer was asked for: "
                    + wanted
                    + ". Nothing was stored"));
  }

  private void listen() {
    if (!listening) {
      listening = true;
      Thread thread = new Thread(this::readAll, "standard input");
      thread.setDaemon(true);
      thread.start();
    }
  }

  /** Every line, and at the end none. */
  private void readAll() {
    try {
      BufferedReader in =
          new BufferedReader(new InputStreamReader(console.in(), StandardCharsets.UTF_8));
      for (String line = in.readLine(); line != null; line = in.readLine()) {
        lines.add(Optional.of(line.strip()));
      }
    } catch (IOException gone) {
      console.warn("standard input is gone: " + gone.getMessage());
    }
    lines.add(Optional.empty());
  }
}
