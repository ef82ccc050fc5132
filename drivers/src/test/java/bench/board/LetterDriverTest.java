package bench.board;

import java.util.List;
import java.util.Map;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Settings;
import meniscus.core.instrument.Transcript;

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

  /** The program's own list is not this example's to change. */
  @Override
  protected Iterable<InstrumentDriver> discovered() {
    return List.of(new LetterDriver());
  }
}
