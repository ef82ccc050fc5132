package meniscus.drivers.text;

import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;

/**
 * Instruments that speak SCPI (SCPI-1999, IEEE 488.2): identified by {@code *IDN?}, set up once,
 * then asked round after round; their error queue is read after the set-up and whenever a question
 * stays unanswered.
 */
public final class ScpiDriver implements InstrumentDriver {

  @Override
  public String id() {
    return "scpi";
  }

  @Override
  public String summary() {
    return "meters and supplies that speak SCPI, taught by a sheet";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public List<Channel> channels(InstrumentSheet sheet) {
    return newDecoder(sheet).channels();
  }

  @Override
  public ScpiDecoder newDecoder(InstrumentSheet sheet) {
    Framing framing = Framing.of(sheet.settings());
    String identity = sheet.settings().text("identity", "");
    QuestionRound asking = QuestionRound.of(sheet.settings());
    sheet.settings().done();
    return new ScpiDecoder(framing, asking, identity);
  }
}
