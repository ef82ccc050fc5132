package meniscus.recorder.feed;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;

/**
 * What a person has typed: a line for each instrument that is meant, or why it is none. Whether an
 * instrument's driver can read a line is asked of that driver itself, so whoever types hears of a
 * mistake at once, and nothing of it reaches the test.
 */
sealed interface TypedReadings {

  <T> T fold(Function<String, T> refused, Function<List<Line>, T> lines);

  /** A line that an instrument's driver understands. */
  record Line(int instrument, String text) {}

  /** Not to be taken, and why. */
  record Refused(String why) implements TypedReadings {
    @Override
    public <T> T fold(Function<String, T> refused, Function<List<Line>, T> lines) {
      return refused.apply(why);
    }
  }

  /** To be taken, in this order. */
  record Understood(List<Line> all) implements TypedReadings {
    @Override
    public <T> T fold(Function<String, T> refused, Function<List<Line>, T> lines) {
      return lines.apply(all);
    }
  }

  /**
   * @param text readings parted by semicolons
   * @param instruments that are read by eye
   * @param now for the drivers that are asked
   */
  static TypedReadings of(String text, List<BoundInstrument> instruments, Moment now) {
    if (instruments.isEmpty()) {
      return new Refused("no instrument of this bench is read by eye");
    }
    List<String> readings =
        Stream.of(text.split(";")).map(TypedReadings::plain).filter(one -> !one.isEmpty()).toList();
    if (readings.isEmpty()) {
      return new Refused("type a reading, as \"" + example(instruments) + "\"");
    }
    List<Line> lines = new ArrayList<>();
    for (String reading : readings) {
      List<BoundInstrument> meant = meant(reading, instruments);
      if (meant.size() != 1) {
        return new Refused(
            "\"" + reading + "\": say which channel it is, as \"" + example(instruments) + "\"");
      }
      Optional<String> refusal = refusal(meant.get(0), reading, now);
      if (refusal.isPresent()) {
        return new Refused("\"" + reading + "\": " + refusal.get() + "; nothing of it was taken");
      }
      lines.add(new Line(meant.get(0).index(), reading));
    }
    return new Understood(List.copyOf(lines));
  }

  /** A dash is a minus, whatever the keyboard makes of it; a control character is none of ours. */
  private static String plain(String reading) {
    return reading.replaceAll("[\u2012-\u2015\u2212]", "-").replaceAll("\\p{Cntrl}", " ").strip();
  }

  private static String example(List<BoundInstrument> instruments) {
    return instruments.stream()
        .map(each -> each.channels().get(0).name() + " 28.1")
        .collect(Collectors.joining("; "));
  }

  private static List<BoundInstrument> meant(String reading, List<BoundInstrument> instruments) {
    String word = reading.split("[ :=]+", 2)[0];
    return instruments.size() == 1
        ? instruments
        : instruments.stream()
            .filter(
                each -> each.channels().stream().anyMatch(channel -> channel.name().equals(word)))
            .toList();
  }

  /**
   * Why the instrument's driver does not take a line; empty when it gives a reading. A plugin's may
   * not come back, so it is not asked here.
   */
  private static Optional<String> refusal(BoundInstrument instrument, String line, Moment now) {
    if (!instrument.isByHand()) {
      return Optional.empty();
    }
    List<String> rejected = new ArrayList<>();
    Decoder decoder = instrument.newDecoder();
    decoder.opened(now);
    decoder.bytes(
        now,
        ByteBuffer.wrap(TypedLine.bytes(line)),
        new Sink() {
          @Override
          public void reading(int channel, double value, Moment moment) {
            // That it is one is enough.
          }

          @Override
          public void frame(Moment moment) {
            // Likewise.
          }

          @Override
          public void rejected(Rejected what) {
            rejected.add(what.reason());
          }
        });
    return rejected.stream().findFirst();
  }
}
