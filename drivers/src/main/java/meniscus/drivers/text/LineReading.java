package meniscus.drivers.text;

import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.regex.Pattern;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.SampleCounter;
import meniscus.drivers.text.LineGrammar.Expected;

/** Reads lines by a grammar. Nothing of a line is given on before all of it was found good. */
final class LineReading {

  private static final Pattern ANYTHING = Pattern.compile("(?s).*");

  private final LineGrammar grammar;
  private final double noValueFrom;
  private final TextLine line;
  private final TextChannel[] channels;
  private final double[] values;
  private final boolean[] present;

  /** By channel; null where a channel counts no samples. */
  private final SampleCounter[] counters;

  /**
   * @param longest longest line [bytes]
   */
  LineReading(LineGrammar grammar, int longest) {
    this(grammar, longest, Double.POSITIVE_INFINITY);
  }

  /**
   * @param longest longest line [bytes]
   * @param noValueFrom numbers of this size and more say that there is no value
   */
  LineReading(LineGrammar grammar, int longest, double noValueFrom) {
    this.grammar = grammar;
    this.noValueFrom = noValueFrom;
    this.line = new TextLine(longest, grammar.pattern().orElse(ANYTHING));
    this.channels = grammar.channels().toArray(new TextChannel[0]);
    this.values = new double[channels.length];
    this.present = new boolean[channels.length];
    this.counters = new SampleCounter[channels.length];
    for (int i = 0; i < channels.length; i++) {
      counters[i] = channels[i].common().counter().map(SampleCounter::new).orElse(null);
    }
  }

  /** The line was opened or lost. */
  void restart() {
    eachCounter(SampleCounter::restart);
  }

  private void eachCounter(Consumer<SampleCounter> told) {
    for (SampleCounter counter : counters) {
      if (counter != null) {
        told.accept(counter);
      }
    }
  }

  /**
   * Reads one line.
   *
   * @return empty when it was good and can be given on, else what was wrong
   */
  Optional<String> read(byte[] bytes, int length) {
    line.set(bytes, length);
    Optional<String> wrong = form();
    for (int i = 0; wrong.isEmpty() && i < channels.length; i++) {
      wrong = value(i);
    }
    wrong = wrong.isPresent() ? wrong : anything();
    if (wrong.isPresent()) {
      eachCounter(SampleCounter::unread);
    }
    return wrong;
  }

  /**
   * Gives on what was read.
   *
   * @param firstIndex index of the grammar's first channel among the instrument's
   */
  void give(Moment at, Sink sink, int firstIndex) {
    for (int i = 0; i < channels.length; i++) {
      if (present[i] && counters[i] != null) {
        values[i] = counters[i].index(values[i], at, sink);
        if (Double.isNaN(values[i])) {
          return;
        }
      }
    }
    for (int i = 0; i < channels.length; i++) {
      if (present[i]) {
        sink.reading(firstIndex + i, values[i], at);
      }
    }
    sink.frame(at);
  }

  private Optional<String> form() {
    if (grammar.checksum().isPresent()) {
      Optional<String> damage = grammar.checksum().get().strip(line);
      if (damage.isPresent()) {
        return damage;
      }
    }
    if (grammar.pattern().isPresent() && !line.matches()) {
      return Optional.of("does not match the pattern");
    }
    if (grammar.separator().length > 0) {
      line.split(grammar.separator()[0]);
    } else {
      line.splitNothing();
    }
    if (grammar.fields() > 0 && line.fieldCount != grammar.fields()) {
      return Optional.of(line.fieldCount + " fields, should be " + grammar.fields());
    }
    for (Expected expected : grammar.expected()) {
      if (!expected.place().find(line) || !line.isText(expected.text())) {
        return Optional.of(expected.place().name() + " is not what it must be");
      }
    }
    return Optional.empty();
  }

  private Optional<String> value(int index) {
    TextChannel channel = channels[index];
    present[index] = channel.place().find(line);
    if (!present[index]) {
      return channel.optional()
          ? Optional.empty()
          : Optional.of(channel.place().name() + " is missing");
    }
    if (isOneOf(channel.overload())) {
      values[index] = Double.NaN;
      return Optional.empty();
    }
    double number = DecimalText.parse(line.bytes, line.from, line.to, grammar.decimalMark());
    if (Double.isNaN(number)) {
      return Optional.of(
          channel.place().name() + " is \"" + line.found() + "\", which is not a number");
    }
    values[index] = Math.abs(number) >= noValueFrom ? Double.NaN : number;
    return qualified(index, channel);
  }

  /** What unit and status elsewhere in the line make of a number. */
  private Optional<String> qualified(int index, TextChannel channel) {
    if (channel.unitFrom().isPresent()) {
      Optional<String> unknown = inChannelUnit(index, channel);
      if (unknown.isPresent()) {
        return unknown;
      }
    }
    values[index] = channel.common().scaling().apply(values[index]);
    if (channel.status().isEmpty()) {
      return Optional.empty();
    }
    TextChannel.Status status = channel.status().get();
    if (!status.place().find(line)) {
      return Optional.of(status.place().name() + " is missing");
    }
    if (isOneOf(status.overload())) {
      values[index] = Double.NaN;
    } else if (!status.good().isEmpty() && !isOneOf(status.good())) {
      return Optional.of("status \"" + line.found() + "\" is neither good nor overload");
    }
    return Optional.empty();
  }

  private Optional<String> inChannelUnit(int index, TextChannel channel) {
    TextChannel.UnitFrom from = channel.unitFrom().get();
    if (!from.place().find(line)) {
      return Optional.of(from.place().name() + " is missing");
    }
    for (TextChannel.UnitWord word : from.words()) {
      if (line.isText(word.word())) {
        if (!word.unit().equals(channel.channel().unit())) {
          values[index] = channel.channel().unit().fromSi(word.unit().toSi(values[index]));
        }
        return Optional.empty();
      }
    }
    return Optional.of("unit \"" + line.found() + "\" is not known");
  }

  private boolean isOneOf(List<byte[]> words) {
    for (int i = 0; i < words.size(); i++) {
      if (line.isText(words.get(i))) {
        return true;
      }
    }
    return false;
  }

  private Optional<String> anything() {
    for (boolean found : present) {
      if (found) {
        return Optional.empty();
      }
    }
    return Optional.of("none of its channels is there");
  }
}
