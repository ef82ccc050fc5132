package meniscus.recorder.plugin;

import meniscus.core.refusal.Refusal;

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

  /** As the plugin answers; whatever is wrong with that is the operator's to mend. */
  final <T> T asked(String doing, PluginGuard.Call<T> call) {
    try {
      return guard.askedAboutSettings(doing, call);
    } catch (PluginFault fault) {
      throw new Refusal(whose() + fault.getMessage(), fault);
    }
  }

  /** Whose fault it is, with a space behind it. */
  final String whose() {
    return what() + " \"" + id + "\" ";
  }

  /** What it is, in words. */
  abstract String what();

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
