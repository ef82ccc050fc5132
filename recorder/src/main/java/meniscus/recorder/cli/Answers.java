package meniscus.recorder.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;

/** Asks the operator and reads what is typed, or what another program sends: one answer a line. */
final class Answers {

  private final Console console;
  private final BufferedReader in;

  Answers(Console console) {
    this.console = console;
    this.in = new BufferedReader(new InputStreamReader(console.in(), StandardCharsets.UTF_8));
  }

  /**
   * Asks until one of the words is answered.
   *
   * @param question says what to do and what to type
   */
  String one(String question, List<String> words) {
    console.warn(question);
    while (true) {
      String answer = line(words);
      if (words.contains(answer)) {
        return answer;
      }
      console.warn("type one of: " + String.join(", ", words));
    }
  }

  private String line(List<String> words) {
    try {
      String line = in.readLine();
      if (line == null) {
        throw CommandFailed.usage(
            "standard input has ended where an answer was asked for: "
                + String.join(", ", words)
                + ". Nothing was stored");
      }
      return line.strip().toLowerCase(Locale.ROOT);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
