package meniscus.recorder.plugin;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.function.Function;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.outlet.OutletPlugin;
import meniscus.drivers.line.LineKind;
import meniscus.recorder.feed.Drivers;

/**
 * The plugins of one folder beside what the program ships. A jar that cannot be used is refused
 * with its reason and does no harm to the others.
 *
 * @param drivers shipped ones first, then those of the jars in the order of their names
 * @param outlets what can carry facts out
 * @param found every plugin, ready or refused
 */
public record PluginFolder(Drivers drivers, List<OutletPlugin> outlets, List<Plugin> found) {

  public PluginFolder {
    outlets = List.copyOf(outlets);
    found = List.copyOf(found);
  }

  /** No folder. */
  public static PluginFolder none() {
    return new PluginFolder(Drivers.shipped(), List.of(), List.of());
  }

  /**
   * Looks into all jars of a folder that may run.
   *
   * @param trust says which may; is asked before anything of a jar runs
   * @throws IOException when the folder cannot be read
   */
  public static PluginFolder read(Path folder, Trust trust) throws IOException {
    return read(folder, trust, PluginGuard.PATIENCE_MS);
  }

  static PluginFolder read(Path folder, Trust trust, long patienceMs) throws IOException {
    Drivers shipped = Drivers.shipped();
    Chosen chosen = new Chosen();
    shipped.all().forEach(driver -> chosen.ids.add(driver.id()));
    shipped.lineKinds().forEach(kind -> chosen.lineIds.add(kind.id()));
    chosen.lineIds.add("simulated");
    ClassLoader program = InstrumentDriver.class.getClassLoader();
    // Side by side: three that hang cost the patience of one.
    mayRun(jars(folder), trust, chosen.plugins).stream()
        .map(
            jar ->
                CompletableFuture.supplyAsync(
                    () -> JarScan.of(jar, program, patienceMs),
                    task -> new Thread(task, "plugin scan").start()))
        .toList()
        .forEach(scan -> chosen.add(scan.join()));
    return new PluginFolder(
        shipped.and(chosen.drivers, chosen.lineKinds), chosen.outlets, chosen.plugins);
  }

  /** One after the other: there is one person to be asked. */
  private static List<Path> mayRun(List<Path> jars, Trust trust, List<Plugin> refused) {
    List<Path> mayRun = new ArrayList<>();
    for (Path jar : jars) {
      Optional<String> refusal = trust.refusal(jar);
      if (refusal.isEmpty()) {
        mayRun.add(jar);
      } else {
        refused.add(Plugin.refused(jar.getFileName().toString(), "", refusal.get()));
      }
    }
    return mayRun;
  }

  private static List<Path> jars(Path folder) throws IOException {
    List<Path> jars = new ArrayList<>();
    try (DirectoryStream<Path> files = Files.newDirectoryStream(folder, "*.jar")) {
      files.forEach(jars::add);
    }
    jars.sort(null);
    return jars;
  }

  /** Who has which id: first come, first served. */
  private static final class Chosen {
    final Set<String> ids = new HashSet<>();
    final Set<String> lineIds = new HashSet<>();
    final Set<String> outletIds = new HashSet<>();
    final List<InstrumentDriver> drivers = new ArrayList<>();
    final List<LineKind> lineKinds = new ArrayList<>();
    final List<OutletPlugin> outlets = new ArrayList<>();
    final List<Plugin> plugins = new ArrayList<>();

    void add(JarScan.Result jar) {
      plugins.addAll(jar.refused());
      add(jar.jar(), jar.drivers(), InstrumentDriver::id, ids, drivers);
      add(jar.jar(), jar.lineKinds(), LineKind::id, lineIds, lineKinds);
      add(jar.jar(), jar.outlets(), OutletPlugin::id, outletIds, outlets);
    }

    private <T> void add(
        String jar, List<T> offered, Function<T, String> id, Set<String> taken, List<T> into) {
      for (T each : offered) {
        String its = id.apply(each);
        if (taken.add(its)) {
          into.add(each);
          plugins.add(Plugin.ready(jar, its));
        } else {
          plugins.add(
              Plugin.refused(jar, its, "its id \"" + its + "\" is taken already by another"));
        }
      }
    }
  }
}
