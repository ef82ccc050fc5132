package meniscus.drivers.text;

import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;

/**
 * Instruments that answer questions in lines of text. What is asked and what the answers look like
 * is taught by the sheet: docs/instrument-sheets.md.
 */
public final class TextAskDriver implements InstrumentDriver {

  @Override
  public String id() {
    return "text-ask";
  }

  @Override
  public String summary() {
    return "lines of text that answer a question, taught by a sheet";
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
  public TextAskDecoder newDecoder(InstrumentSheet sheet) {
    Framing framing = Framing.of(sheet.settings());
    QuestionRound asking = QuestionRound.of(sheet.settings());
    sheet.settings().done();
    return new TextAskDecoder(framing, asking);
  }
}
