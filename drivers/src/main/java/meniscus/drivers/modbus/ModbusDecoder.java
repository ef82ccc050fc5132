package meniscus.drivers.modbus;

import java.nio.ByteBuffer;
import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;
import meniscus.drivers.ask.Pace;
import meniscus.drivers.ask.Rounds;

/** The only master of a Modbus line: asks every unit of the sheet in turn. */
final class ModbusDecoder implements Decoder {

  private final List<RegisterRead> reads;
  private final Rounds rounds;
  private final ModbusWire wire;
  private boolean partial;

  ModbusDecoder(InstrumentSheet sheet, ModbusWire wire) {
    this.reads = RegisterRead.all(sheet.settings());
    this.rounds = new Rounds(Pace.of(sheet.settings()), reads.size());
    this.wire = wire;
    sheet.settings().done();
  }

  List<Channel> channels() {
    return RegisterRead.channelsOf(reads);
  }

  @Override
  public Next opened(Moment at) {
    wire.opened();
    partial = false;
    rounds.begin(at);
    return sendWhatIsDue(at);
  }

  @Override
  public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
    while (buffer.hasRemaining()) {
      ModbusWire.Answer answer = wire.accept(buffer.get(), current());
      partial = answer == ModbusWire.Answer.INCOMPLETE;
      if (!partial) {
        reject(at, sink, wire.before(), "no part of an answer");
        take(at, answer, sink);
      }
    }
    giveUpBeforeAsking(at, sink);
    return sendWhatIsDue(at);
  }

  private void take(Moment at, ModbusWire.Answer answer, Sink sink) {
    if (answer == ModbusWire.Answer.DAMAGED) {
      reject(at, sink, wire.seen(), "no answer to " + current().words());
      return;
    }
    if (answer == ModbusWire.Answer.UNASKED || !rounds.canBeAnswer(at)) {
      reject(at, sink, wire.seen(), "nobody asked for this; a late answer?");
      rounds.cameUnasked(at);
      return;
    }
    if (answer == ModbusWire.Answer.EXCEPTION) {
      int code = wire.bytes()[wire.dataFrom()] & 0xff;
      reject(at, sink, wire.seen(), current().words() + ": " + RegisterRead.exception(code));
    } else {
      current().give(wire.bytes(), wire.dataFrom(), at, sink);
    }
    rounds.answered(at);
  }

  @Override
  public Next tick(Moment at, Sink sink) {
    if (rounds.isOverdue(at)) {
      String words = current().words();
      if (partial) {
        reject(at, sink, wire.seen(), "not a whole answer to " + words);
        reset();
      }
      if (rounds.missed(at)) {
        sink.rejected(new Rejected(at, "", rounds.silence(words)));
      }
    }
    giveUpBeforeAsking(at, sink);
    return sendWhatIsDue(at);
  }

  @Override
  public void lost(Moment at) {
    reset();
    rounds.stop();
  }

  private Next sendWhatIsDue(Moment at) {
    if (!rounds.isOpen()) {
      return Next.NOTHING;
    }
    if (!rounds.isToBeSent(at)) {
      return Next.wake(rounds.wakeAt());
    }
    reset();
    return Next.send(wire.wrap(current()), rounds.wakeAt());
  }

  /** What came before a question is no part of its answer. */
  private void giveUpBeforeAsking(Moment at, Sink sink) {
    if (partial && rounds.isDue(at)) {
      reject(at, sink, wire.seen(), "nobody asked for this; a late answer?");
      reset();
    }
  }

  private void reset() {
    wire.reset();
    partial = false;
  }

  private RegisterRead current() {
    return reads.get(rounds.question());
  }

  private static void reject(Moment at, Sink sink, ByteBuffer bytes, String why) {
    if (bytes.hasRemaining()) {
      sink.rejected(new Rejected(at, Printable.text(bytes), why));
    }
  }
}
