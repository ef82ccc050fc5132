package meniscus.drivers.binary;

import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;

class SlipPacketContractTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new PacketStreamDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return PacketStreamTest.sheet("SLIP");
  }

  @Override
  protected Transcript transcript() {
    byte[] one = PacketStreamTest.slip(PacketStreamTest.packet(0xA1, 0xC0DB, -3));
    byte[] two = PacketStreamTest.slip(PacketStreamTest.packet(0xA1, 0xDCDD, 0));
    return Transcript.empty()
        .at(Moment.ofSeconds(1), one)
        .at(Moment.ofSeconds(2), two)
        .at(Moment.ofSeconds(3), new byte[] {(byte) 0xDB, 1, (byte) 0xC0})
        .at(Moment.ofSeconds(4), one);
  }
}
