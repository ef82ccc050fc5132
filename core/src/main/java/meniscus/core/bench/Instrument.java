package meniscus.core.bench;

import java.util.Map;
import java.util.Objects;
import java.util.Optional;

/**
 * An instrument of the bench.
 *
 * @param id lower-case words joined by hyphens, unique in the bench
 * @param sheet name of a shipped instrument sheet, or the path of a sheet beside the bench file
 * @param line how to reach it: {@code kind} (serial, tcp, playback, simulated) and what that kind
 *     needs; plain values as in {@link meniscus.core.instrument.Settings}
 * @param serial number on it, where its owner wrote it down
 */
public record Instrument(
    String id, String sheet, Map<String, Object> line, Optional<String> serial) {

  /** Its serial number is not known. */
  public Instrument(String id, String sheet, Map<String, Object> line) {
    this(id, sheet, line, Optional.empty());
  }

  public Instrument {
    Objects.requireNonNull(serial);
    Objects.requireNonNull(sheet);
    line = Map.copyOf(line);
    ShortName.check("instrument id", id);
  }
}
