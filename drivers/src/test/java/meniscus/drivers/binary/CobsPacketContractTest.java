package meniscus.drivers.binary;

import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;

class CobsPacketContractTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new PacketStreamDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return PacketStreamTest.sheet("COBS");
  }

  @Override
  protected Transcript transcript() {
    byte[] one = PacketStreamTest.cobs(PacketStreamTest.packet(0xA1, 258, -3));
    byte[] two = PacketStreamTest.cobs(PacketStreamTest.packet(0xA1, 0, 0));
    byte[] wrong = PacketStreamTest.cobs(PacketStreamTest.packet(0xA2, 5, 5));
    byte[] damaged = one.clone();
    damaged[3] ^= 4;
    return Transcript.empty()
        .at(Moment.ofSeconds(1), one)
        .at(Moment.ofSeconds(2), two)
        .at(Moment.ofSeconds(3), wrong)
        .at(Moment.ofSeconds(4), damaged)
        .at(Moment.ofSeconds(5), one);
  }
}
