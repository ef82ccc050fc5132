package meniscus.drivers.line;

import java.util.Map;
import java.util.Objects;

/**
 * A line that is plugged in.
 *
 * @param kind id of its {@link LineKind}
 * @param port what to write after {@code "port"}
 * @param description as the device calls itself; may be empty
 * @param ids what it can be recognised by, for example {@code usb} → {@code 1a86:7523}
 */
public record FoundLine(String kind, String port, String description, Map<String, String> ids) {
  public FoundLine {
    Objects.requireNonNull(kind);
    Objects.requireNonNull(port);
    Objects.requireNonNull(description);
    ids = Map.copyOf(ids);
  }
}
