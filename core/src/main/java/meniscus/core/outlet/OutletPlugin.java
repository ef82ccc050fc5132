package meniscus.core.outlet;

import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/**
 * Speaks one way out of the program. Found by {@link java.util.ServiceLoader}; implementations are
 * final, have a public constructor without arguments, and keep no state.
 */
public interface OutletPlugin {

  /** The door's version. It grows by default methods only, and by one each time. */
  int API_VERSION = 1; // the first

  /** Plugins compiled for this version are still understood. */
  int OLDEST_API_VERSION = 1; // the first

  /** Stable and unique: lower-case words joined by hyphens, for example {@code mqtt}. */
  String id();

  /** One line for people: where it carries facts to. */
  String summary();

  /** The version that this plugin was compiled for; always {@code return API_VERSION;}. */
  int apiVersion();

  /**
   * Opens a way out, on the outlet's own thread, and may take its time over it. Where the way
   * breaks it is closed and opened anew.
   *
   * @param settings of the bench file's outlet, without its name and plugin; asked for all of them,
   *     then {@link Settings#done}
   * @throws Refusal when the settings do not fit: it is not tried again
   * @throws OutletLost when it cannot be opened now: it is tried again later
   */
  Outlet open(Settings settings, OutletHost host) throws OutletLost;
}
