package meniscus.recorder.plugin;

/**
 * What a plugin has said of itself, remembered so that it is never asked again. No record: that
 * would ask the plugin for its {@code hashCode} and {@code toString}.
 */
abstract class Guarded {

  private final String id;
  private final String summary;
  private final int version;
  final PluginGuard guard;

  Guarded(String id, String summary, int version, PluginGuard guard) {
    this.id = id;
    this.summary = summary;
    this.version = version;
    this.guard = guard;
  }

  public final String id() {
    return id;
  }

  public final String summary() {
    return summary;
  }

  public final int apiVersion() {
    return version;
  }
}
