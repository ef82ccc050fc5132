package meniscus.recorder.outlet;

import meniscus.core.instrument.Settings;
import meniscus.core.outlet.Outlet;
import meniscus.core.outlet.OutletHost;
import meniscus.core.outlet.OutletPlugin;
import meniscus.core.refusal.Refusal;

/**
 * Stands in for a plugin that is not at hand.
 *
 * @param id of the one that is missing
 */
record NoPlugin(String id) implements OutletPlugin {

  @Override
  public String summary() {
    return "is not there";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public Outlet open(Settings settings, OutletHost host) {
    throw new Refusal(
        settings.where()
            + ": there is no outlet plugin \""
            + id
            + "\": put its jar into the folder of --plugins, see docs/outlets.md");
  }
}
