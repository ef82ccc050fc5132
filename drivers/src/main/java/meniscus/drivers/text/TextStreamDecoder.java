package meniscus.drivers.text;

import java.nio.ByteBuffer;
import java.util.List;
import java.util.Optional;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;

/** One line of a {@link TextStreamDriver}. */
final class TextStreamDecoder implements Decoder {

  private final Framing framing;
  private final LineGrammar grammar;
  private final LineSplitter splitter;
  private final LineReading reading;
  private final LineSplitter.Taker taker = this::take;

  TextStreamDecoder(Framing framing, LineGrammar grammar) {
    this.framing = framing;
    this.grammar = grammar;
    this.splitter = framing.newSplitter();
    this.reading = new LineReading(grammar, framing.longest());
  }

  List<Channel> channels() {
    return grammar.channelList();
  }

  @Override
  public Next opened(Moment at) {
    reading.restart();
    // The line may have been opened in mid-line: "27.984" would read as "984". A checksum tells;
    // without one the first line cannot be trusted.
    if (grammar.checksum().isPresent()) {
      splitter.reset();
    } else {
      splitter.skipToEnd();
    }
    return Next.NOTHING;
  }

  @Override
  public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
    splitter.accept(at, buffer, sink, taker);
    return Next.NOTHING;
  }

  private void take(Moment at, byte[] line, int length, Sink sink) {
    if (framing.isRemark(line, length)) {
      return;
    }
    Optional<String> wrong = reading.read(line, length);
    if (wrong.isEmpty()) {
      reading.give(at, sink, 0);
    } else {
      sink.rejected(
          new Rejected(at, Printable.text(ByteBuffer.wrap(line, 0, length)), wrong.get()));
    }
  }

  @Override
  public void lost(Moment at) {
    splitter.reset();
    reading.restart();
  }
}
