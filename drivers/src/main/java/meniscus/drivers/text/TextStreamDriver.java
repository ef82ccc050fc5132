package meniscus.drivers.text;

import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;

/**
 * Instruments that send lines of text by themselves, such as {@code P1,+27.984,P2,+12.310*2E}. What
 * the lines look like is taught by the sheet: docs/instrument-sheets.md.
 */
public final class TextStreamDriver implements InstrumentDriver {

  @Override
  public String id() {
    return "text-stream";
  }

  @Override
  public String summary() {
    return "lines of text that come by themselves, taught by a sheet";
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
  public TextStreamDecoder newDecoder(InstrumentSheet sheet) {
    Framing framing = Framing.of(sheet.settings());
    LineGrammar grammar = LineGrammar.of(sheet.settings());
    sheet.settings().done();
    return new TextStreamDecoder(framing, grammar);
  }
}
