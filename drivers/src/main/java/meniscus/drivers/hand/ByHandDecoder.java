package meniscus.drivers.hand;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.Scaling;
import meniscus.drivers.sheet.SheetChannel;

/** Typed lines. A person types slowly: strings may be made here. */
final class ByHandDecoder implements Decoder {

  private static final int LONGEST = 80;
  private static final String NUMBER = "([+-]?(?:\\d{1,9}(?:[.,]\\d{0,9})?|[.,]\\d{1,9}))";
  private static final Pattern LINE =
      Pattern.compile(
          "(?:([a-z][a-z0-9_]*)[ :=]+)?"
              + NUMBER
              + "(?: *(?:\\.\\.|-|to) *"
              + NUMBER
              + ")?(?: *([^\\d\\s.,+-].*))?");

  private final List<SheetChannel> channels;
  private final ByteBuffer line = ByteBuffer.allocate(LONGEST);
  private boolean tooLong;

  ByHandDecoder(List<SheetChannel> channels) {
    this.channels = channels;
  }

  @Override
  public Next opened(Moment at) {
    return Next.NOTHING;
  }

  @Override
  public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
    while (buffer.hasRemaining()) {
      byte b = buffer.get();
      if (b == '\n' || b == '\r') {
        end(at, sink);
      } else if (line.hasRemaining()) {
        line.put(b);
      } else {
        tooLong = true;
      }
    }
    return Next.NOTHING;
  }

  private void end(Moment at, Sink sink) {
    ByteBuffer typed = line.flip();
    String text = StandardCharsets.ISO_8859_1.decode(typed.duplicate()).toString().strip();
    if (tooLong) {
      reject(at, typed, sink, "longer than " + LONGEST + " characters");
    } else if (!text.isEmpty()) {
      read(at, text, typed, sink);
    }
    line.clear();
    tooLong = false;
  }

  private void read(Moment at, String text, ByteBuffer typed, Sink sink) {
    Matcher parts = LINE.matcher(text);
    if (!parts.matches()) {
      reject(
          at,
          typed,
          sink,
          "type a number, as 28.1, or low and high, as 27.5..28.7, and nothing else but a unit");
      return;
    }
    int index = index(parts.group(1));
    if (index < 0) {
      reject(at, typed, sink, "say which of " + names() + " it is");
      return;
    }
    SheetChannel channel = channels.get(index);
    DoubleUnaryOperator value;
    try {
      value = value(channel, parts.group(4));
    } catch (Refusal wrongUnit) {
      reject(at, typed, sink, wrongUnit.getMessage());
      return;
    }
    double low = value.applyAsDouble(number(parts.group(2)));
    double high = parts.group(3) == null ? low : value.applyAsDouble(number(parts.group(3)));
    sink.reading(2 * index, (low + high) / 2, at);
    sink.reading(2 * index + 1, Math.abs(high - low) / 2, at);
    sink.frame(at);
  }

  /**
   * From a typed number to the channel's value: as the sheet scales it, or in the unit that was
   * typed with it.
   *
   * @param unit may be null
   * @throws Refusal when it is none of that channel: which would be
   */
  private static DoubleUnaryOperator value(SheetChannel channel, String unit) {
    Scaling scaling = channel.scaling();
    if (unit == null) {
      return scaling::apply;
    }
    Unit own = channel.channel().unit();
    Unit typed = Unit.named(unit.strip(), own.dimension());
    if (typed.offset() != 0) {
      throw new Refusal("a swing cannot be typed in " + typed.symbol());
    }
    if (scaling.apply(0) != 0 || scaling.apply(1) != 1) {
      throw new Refusal(
          "the sheet makes "
              + own.symbol()
              + " of the number that is read: type the number alone, without a unit");
    }
    return typed.equals(own) ? number -> number : number -> own.fromSi(typed.toSi(number));
  }

  /** −1 when it is not clear. */
  private int index(String name) {
    if (name == null) {
      return channels.size() == 1 ? 0 : -1;
    }
    for (int i = 0; i < channels.size(); i++) {
      if (channels.get(i).channel().name().equals(name)) {
        return i;
      }
    }
    return -1;
  }

  private String names() {
    return String.join(", ", channels.stream().map(one -> one.channel().name()).toList());
  }

  private static double number(String text) {
    return Double.parseDouble(text.replace(',', '.'));
  }

  private static void reject(Moment at, ByteBuffer typed, Sink sink, String why) {
    sink.rejected(new Rejected(at, Printable.text(typed), why));
  }

  @Override
  public void lost(Moment at) {
    line.clear();
    tooLong = false;
  }
}
