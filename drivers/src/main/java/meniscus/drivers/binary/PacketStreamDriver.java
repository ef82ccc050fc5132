package meniscus.drivers.binary;

import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;

/** Boards that send packets by themselves, taught by a sheet: docs/instrument-sheets.md. */
public final class PacketStreamDriver implements InstrumentDriver {

  @Override
  public String id() {
    return "packet-stream";
  }

  @Override
  public String summary() {
    return "packets of bytes (COBS or SLIP) that come by themselves, taught by a sheet";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public List<Channel> channels(InstrumentSheet sheet) {
    return PacketSheet.of(sheet.settings()).channels();
  }

  @Override
  public Decoder newDecoder(InstrumentSheet sheet) {
    return new PacketStreamDecoder(PacketSheet.of(sheet.settings()));
  }
}
