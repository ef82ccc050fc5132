package meniscus.drivers.binary;

import java.nio.ByteBuffer;
import java.util.Optional;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.BinaryNumber;
import meniscus.drivers.sheet.Checksum;
import meniscus.drivers.sheet.SampleCounter;

/** One line of a {@link PacketStreamDriver}. */
final class PacketStreamDecoder implements Decoder {

  private final PacketSheet sheet;
  private final Unframing unframing;
  private final double[] values;

  /** By number; null where it counts no samples. */
  private final SampleCounter[] counters;

  PacketStreamDecoder(PacketSheet sheet) {
    this.sheet = sheet;
    int longest = sheet.wholeLength();
    this.unframing = sheet.cobs() ? new Unframing.Cobs(longest) : new Unframing.Slip(longest);
    this.values = new double[sheet.numbers().size()];
    this.counters =
        sheet.numbers().stream()
            .map(number -> number.common().counter().map(SampleCounter::new).orElse(null))
            .toArray(SampleCounter[]::new);
  }

  @Override
  public Next opened(Moment at) {
    unframing.reset(sheet.checksum().isEmpty());
    restartCounters();
    return Next.NOTHING;
  }

  @Override
  public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
    while (buffer.hasRemaining()) {
      switch (unframing.accept(buffer.get())) {
        case PACKET -> take(at, sink);
        case DAMAGED -> reject(at, sink, "not a whole packet of " + sheet.wholeLength() + " bytes");
        case NOTHING -> {
          // More bytes are needed.
        }
      }
    }
    return Next.NOTHING;
  }

  private void take(Moment at, Sink sink) {
    Optional<String> wrong = wrong();
    if (wrong.isPresent()) {
      reject(at, sink, wrong.get());
      return;
    }
    for (int i = 0; i < values.length; i++) {
      PacketSheet.Number number = sheet.numbers().get(i);
      long bits =
          BinaryNumber.bits(
              unframing.packet, number.at(), number.type().length(), number.highFirst());
      values[i] = number.common().scaling().apply(number.type().of(bits));
      if (counters[i] != null) {
        values[i] = counters[i].index(values[i], at, sink);
        if (Double.isNaN(values[i])) {
          return;
        }
      }
    }
    for (int i = 0; i < values.length; i++) {
      sink.reading(i, values[i], at);
    }
    sink.frame(at);
  }

  private Optional<String> wrong() {
    byte[] packet = unframing.packet;
    if (unframing.length != sheet.wholeLength()) {
      return Optional.of(unframing.length + " bytes, should be " + sheet.wholeLength());
    }
    if (sheet.checksum().isPresent()) {
      Checksum checksum = sheet.checksum().get();
      long sent =
          BinaryNumber.bits(packet, sheet.length(), checksum.bits() / 8, sheet.checksumHighFirst());
      if (sent != checksum.of(packet, 0, sheet.length())) {
        return Optional.of("the checksum does not fit");
      }
    }
    for (PacketSheet.Fixed fixed : sheet.expected()) {
      if (packet[fixed.at()] != fixed.value()) {
        return Optional.of("byte " + (fixed.at() + 1) + " is not what it must be");
      }
    }
    return Optional.empty();
  }

  private void restartCounters() {
    for (SampleCounter counter : counters) {
      if (counter != null) {
        counter.restart();
      }
    }
  }

  private void reject(Moment at, Sink sink, String why) {
    ByteBuffer bytes = ByteBuffer.wrap(unframing.packet, 0, unframing.length);
    sink.rejected(new Rejected(at, Printable.text(bytes), why));
    for (SampleCounter counter : counters) {
      if (counter != null) {
        counter.unread();
      }
    }
  }

  @Override
  public void lost(Moment at) {
    unframing.reset(false);
    restartCounters();
  }
}
