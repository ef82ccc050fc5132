package meniscus.recorder.plugin;

import meniscus.core.instrument.Settings;
import meniscus.core.outlet.Outlet;
import meniscus.core.outlet.OutletHost;
import meniscus.core.outlet.OutletLost;
import meniscus.core.outlet.OutletPlugin;

/**
 * A plugin's outlet that can be asked without fear. What it opens is not guarded here: that runs on
 * a thread of the outlet's own, which may wait for ever without harm.
 */
final class GuardedOutlet extends Guarded implements OutletPlugin {

  private final OutletPlugin plugin;

  GuardedOutlet(OutletPlugin plugin, String id, String summary, int version, PluginGuard guard) {
    super(id, summary, version, guard);
    this.plugin = plugin;
  }

  @Override
  public Outlet open(Settings settings, OutletHost host) throws OutletLost {
    Thread.currentThread().setContextClassLoader(plugin.getClass().getClassLoader());
    return plugin.open(settings, host);
  }

  @Override
  String what() {
    return "the outlet plugin";
  }
}
