package meniscus.recorder.plugin;

import java.util.Optional;

/**
 * One thing that a jar in the plugin folder holds, or the whole jar where it could not be looked
 * into.
 *
 * @param jar file name
 * @param id of the driver or kind of line; empty when it never said
 * @param refused why it is not used; empty when it is ready
 */
public record Plugin(String jar, String id, Optional<String> refused) {

  static Plugin ready(String jar, String id) {
    return new Plugin(jar, id, Optional.empty());
  }

  static Plugin refused(String jar, String id, String reason) {
    return new Plugin(jar, id, Optional.of(reason));
  }
}
