package meniscus.drivers.text;

import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Transcript;
import meniscus.drivers.sheet.SheetJson;

class RoomAirStationContractTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new TextAskDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return SheetJson.shipped("room-air-station");
  }

  @Override
  protected Transcript transcript() {
    return Transcript.empty()
        .at(0.05, "T=22.84;P=1008.62;H=41.3*1C99\r\n")
        .at(1.05, "T=22.85;P=1008.60;H=ERR*FF")
        .at(1.06, "C0\r\nT=22.84;P=1008.62;H=41.3*1C99\r\n")
        .at(2.05, "T=22.84;P=1008.62;H=41.3*1C98\r\n")
        .at(3.1, "T=22.84;P=1008.62;H=41.3*1C99\r\n");
  }
}
