package meniscus.drivers.sheet;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/**
 * A sheet file taken apart: what the driver is taught, and how the instrument's line is usually
 * set.
 *
 * @param instrument for {@link meniscus.core.instrument.InstrumentDriver#newDecoder}
 * @param line defaults for the line (a bench file's own members go before them); may be empty
 * @param notes for people; may be empty
 * @param example of what the instrument sends, as harmless text; may be empty
 */
public record SheetFile(InstrumentSheet instrument, Settings line, String notes, String example) {

  /** What the first member of every sheet file must say. */
  public static final String FORMAT = "sheet/1";

  private static final Set<String> OWN =
      Set.of("meniscus", "name", "driver", "line", "notes", "example");

  public SheetFile {
    Objects.requireNonNull(instrument);
    Objects.requireNonNull(line);
    Objects.requireNonNull(notes);
    Objects.requireNonNull(example);
  }

  /** All of it once more, as members of a sheet file. */
  public Map<String, Object> members() {
    Map<String, Object> all = new LinkedHashMap<>();
    all.put("meniscus", FORMAT);
    all.put("name", instrument.name());
    all.put("driver", instrument.driver());
    if (!notes.isEmpty()) {
      all.put("notes", notes);
    }
    if (!example.isEmpty()) {
      all.put("example", example);
    }
    if (!line.members().isEmpty()) {
      all.put("line", line.members());
    }
    all.putAll(instrument.settings().members());
    return all;
  }

  /**
   * Takes a whole sheet apart. Members that no one knows are found by the driver, not here.
   *
   * @param whole all members of the JSON object
   * @throws Refusal when the format, the name or the driver is missing or wrong
   */
  public static SheetFile of(Settings whole) {
    String format = whole.text("meniscus");
    if (!format.equals(FORMAT)) {
      throw new Refusal(
          whole.where()
              + ": this is \""
              + format
              + "\"; an instrument sheet says \"meniscus\": \""
              + FORMAT
              + "\"");
    }
    return new SheetFile(
        new InstrumentSheet(whole.text("name"), whole.text("driver"), whole.without(OWN)),
        whole.within("line"),
        whole.text("notes", ""),
        whole.text("example", ""));
  }
}
