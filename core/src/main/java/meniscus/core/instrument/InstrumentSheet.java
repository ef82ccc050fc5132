package meniscus.core.instrument;

import java.util.Objects;

/**
 * What teaches a general driver one instrument. Written as JSON by people; here as plain values, so
 * that a driver needs no JSON library and may have members of its own.
 *
 * @param name of the instrument, for people
 * @param driver id of the driver that reads it
 * @param settings all other members of the sheet
 */
public record InstrumentSheet(String name, String driver, Settings settings) {
  public InstrumentSheet {
    Objects.requireNonNull(name);
    Objects.requireNonNull(driver);
    Objects.requireNonNull(settings);
  }
}
