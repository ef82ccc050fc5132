package meniscus.drivers.hand;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.SheetChannel;

/** Typed lines. A person types slowly: strings may be made here. */
final class ByHandDecoder implements Decoder {

  private static final int LONGEST = 80;
  private static final String NUMBER = "([+-]?(?:\\d{1,9}(?:[.,]\\d{0,9})?|[.,]\\d{1,9}))";
  private static final Pattern LINE =
      Pattern.compile("(?:([a-z][a-z0-9_]*)[ :=]+)?" + NUMBER + "(?: *\\.\\. *" + NUMBER + ")?");

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
      reject(at, typed, sink, "type a number, as 28.1, or low and high, as 27.5..28.7");
      return;
    }
    int index = index(parts.group(1));
    if (index < 0) {
      reject(at, typed, sink, "say which of " + names() + " it is");
      return;
    }
    SheetChannel channel = channels.get(index);
    double low = channel.scaling().apply(number(parts.group(2)));
    double high = parts.group(3) == null ? low : channel.scaling().apply(number(parts.group(3)));
    sink.reading(2 * index, (low + high) / 2, at);
    sink.reading(2 * index + 1, Math.abs(high - low) / 2, at);
    sink.frame(at);
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
