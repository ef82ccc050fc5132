package bench.board;

import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Settings;
import meniscus.core.quantity.Unit;

public final class LetterDriver implements InstrumentDriver {
  @Override
  public String id() {
    return "letter-count";
  }

  @Override
  public String summary() {
    return "a board that sends a letter and a count";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public List<Channel> channels(InstrumentSheet sheet) {
    Settings settings = sheet.settings();
    Channel channel = new Channel("pressure", Unit.named(settings.text("unit")));
    settings.number("pascals_per_count", 1);
    settings.done();
    return List.of(channel);
  }

  @Override
  public Decoder newDecoder(InstrumentSheet sheet) {
    channels(sheet);
    return new LetterDecoder(sheet.settings().number("pascals_per_count", 1));
  }
}
