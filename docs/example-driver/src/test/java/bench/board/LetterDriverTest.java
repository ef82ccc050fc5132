package bench.board;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Map;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Settings;
import meniscus.core.instrument.Transcript;
import org.junit.jupiter.api.Test;

class LetterDriverTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new LetterDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return new InstrumentSheet(
        "board", "letter-count", new Settings("sheet", Map.of("unit", "Pa")));
  }

  @Override
  protected Transcript transcript() {
    return Transcript.empty().at(1, "P\1\2S").at(2, "xP\1\2SP\1\2").at(3, "S");
  }

  @Test
  void readsTheCountAsTheManualSays() {
    Decoder decoder = driver().newDecoder(sheet());
    List<Object> said = Transcript.received("P\377\376Q").play(decoder);
    assertEquals(-2, ((Transcript.Reading) said.get(0)).value());
  }
}
