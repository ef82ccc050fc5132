package meniscus.recorder.feed;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Instrument;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineOpener;
import meniscus.drivers.line.Lines;
import meniscus.drivers.sheet.SheetFile;

/**
 * An instrument of a bench with its driver found, its sheet read and its line described; nothing is
 * opened yet.
 *
 * @param index in the bench
 * @param instrument as the bench names it
 * @param driver that speaks its protocol
 * @param sheet that teaches the driver
 * @param channels it delivers
 * @param line how to reach it: the bench's members before the sheet's defaults
 * @param lineKinds among which its kind of line is
 */
public record BoundInstrument(
    int index,
    Instrument instrument,
    InstrumentDriver driver,
    SheetFile sheet,
    List<Channel> channels,
    Settings line,
    List<LineKind> lineKinds) {

  private static final String BY_HAND = "by-hand";

  /**
   * Finds driver, sheet and line settings of every instrument.
   *
   * @param sheets reads an instrument sheet by the name that a bench file gives
   * @throws Refusal naming the instrument and what does not fit
   */
  public static List<BoundInstrument> all(
      Bench bench, Function<String, SheetFile> sheets, Drivers drivers) {
    List<BoundInstrument> wired = new ArrayList<>();
    for (Instrument instrument : bench.instruments()) {
      String where = "instrument \"" + instrument.id() + "\"";
      try {
        SheetFile sheet = sheets.apply(instrument.sheet());
        InstrumentDriver driver = drivers.named(sheet.instrument().driver());
        wired.add(
            new BoundInstrument(
                wired.size(),
                instrument,
                driver,
                sheet,
                driver.channels(sheet.instrument()),
                line(new Settings(where + ", line", instrument.line()), sheet),
                drivers.lineKinds()));
      } catch (Refusal e) {
        throw new Refusal(where + ": " + e.getMessage(), e);
      }
    }
    return List.copyOf(wired);
  }

  /**
   * The sheet's line settings are defaults, but only for the kind of line they were written for.
   */
  private static Settings line(Settings own, SheetFile sheet) {
    String kind = own.text("kind", "");
    return kind.isEmpty() || kind.equals(sheet.line().text("kind", ""))
        ? own.orElse(sheet.line())
        : own;
  }

  /** True when a person reads it, through the driver for that. */
  public boolean isByHand() {
    return driver.id().equals(BY_HAND);
  }

  /** The kind of its line. */
  public String kind() {
    return line.text("kind", "");
  }

  /**
   * How to open its line.
   *
   * @throws Refusal when the line's settings do not fit
   */
  public LineOpener opener() {
    return Lines.opener(line, lineKinds);
  }

  public Decoder newDecoder() {
    return driver.newDecoder(sheet.instrument());
  }
}
