package meniscus.core.bench;

import java.util.Map;
import java.util.Objects;

/**
 * Where facts of the bench go.
 *
 * @param name lower-case words joined by hyphens, unique in the bench
 * @param plugin id of the plugin that carries them
 * @param settings what that plugin needs; plain values as in {@link
 *     meniscus.core.instrument.Settings}, and no secrets, only their names
 */
public record OutletEntry(String name, String plugin, Map<String, Object> settings) {
  public OutletEntry {
    Objects.requireNonNull(plugin);
    settings = Map.copyOf(settings);
    ShortName.check("outlet name", name);
  }
}
