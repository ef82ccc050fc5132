package meniscus.drivers.sheet;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.util.Map;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Settings;

/** Reads sheets in tests; single quotes stand for double ones. */
public final class SheetJson {

  private SheetJson() {}

  /** A sheet that comes with the program. */
  public static InstrumentSheet shipped(String name) {
    return SheetFile.of(settings(name, ShippedSheets.json(name))).instrument();
  }

  /** A sheet for a driver, with these members. */
  public static InstrumentSheet sheet(String driver, String members) {
    return new InstrumentSheet("test", driver, settings("sheet", members.replace('\'', '"')));
  }

  /** Any JSON object. */
  public static Settings settings(String where, String json) {
    try {
      return new Settings(
          where, new ObjectMapper().readValue(json, new TypeReference<Map<String, Object>>() {}));
    } catch (JsonProcessingException wrong) {
      throw new IllegalArgumentException(wrong);
    }
  }
}
