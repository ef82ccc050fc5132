package meniscus.drivers.text;

import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Transcript;
import meniscus.drivers.sheet.SheetJson;

class DialIndicatorContractTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new TextStreamDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return SheetJson.shipped("dial-indicator");
  }

  @Override
  protected Transcript transcript() {
    return Transcript.empty()
        .at(1, "L +11.430 mm\rL +11.431 mm\rL +0.4500 in\rL ----")
        .at(2, "- mm\rL +1x.4 mm\rL +0.1 km\r")
        .at(3, "L -0.002 mm\r");
  }
}
