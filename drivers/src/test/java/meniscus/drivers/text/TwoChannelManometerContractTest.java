package meniscus.drivers.text;

import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Transcript;
import meniscus.drivers.sheet.SheetJson;

class TwoChannelManometerContractTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new TextStreamDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return SheetJson.shipped("two-channel-manometer");
  }

  @Override
  protected Transcript transcript() {
    return Transcript.empty()
        .at(1, "84,P2,+12.310*2E\r\nP1,+27.984,P2,+12.310*2E\r\n# warm-up fin")
        .at(2, "ished\r\nP1,+28.002,P2,OVER*1C\r\nP1,+28.002,P2,OVER*1D\r\nP1,-0.0")
        .at(3, "04,P2,+0.001*2C\r\n");
  }
}
