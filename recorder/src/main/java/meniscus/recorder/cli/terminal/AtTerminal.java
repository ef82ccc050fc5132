package meniscus.recorder.cli.terminal;

import java.util.Optional;
import meniscus.recorder.feed.BenchMessage;
import meniscus.recorder.feed.GaugeReader;

/** The person at the bench, on the terminal or standard input: reads gauges by eye. */
public class AtTerminal implements GaugeReader {

  public final Console console;
  public final Answers answers;

  public AtTerminal(Console console, Answers answers) {
    this.console = console;
    this.answers = answers;
  }

  @Override
  public void told(BenchMessage message) {
    console.warn(message.sentence());
  }

  @Override
  public void wanted(Wish wish) {
    if (!wish.gauges().isEmpty()) {
      console.warn(wish.said() + (wish.said().isEmpty() ? "" : "; ") + wish.next());
    }
  }

  /** A reading may be typed as in a test: {@code read drop 4.8}. */
  @Override
  public Optional<String> typed() {
    return answers.typed().map(line -> line.replaceFirst("(?i)^read\\s+", ""));
  }
}
