package meniscus.recorder.plugin;

import java.io.IOException;
import java.lang.reflect.Modifier;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.ServiceLoader;
import java.util.function.Function;
import java.util.function.ToIntFunction;
import java.util.jar.JarFile;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.outlet.OutletPlugin;
import meniscus.drivers.line.LineKind;

/** Looks into one jar. All code of the jar that runs here runs on a guard's thread. */
final class JarScan {

  /** A list of providers that needs more tries than this is broken itself. */
  private static final int MOST_PROVIDERS = 100;

  /**
   * What a jar holds.
   *
   * @param drivers guarded
   * @param lineKinds guarded
   * @param outlets guarded
   * @param refused what of it cannot be used
   */
  record Result(
      String jar,
      List<InstrumentDriver> drivers,
      List<LineKind> lineKinds,
      List<OutletPlugin> outlets,
      List<Plugin> refused) {

    Result {
      drivers = List.copyOf(drivers);
      lineKinds = List.copyOf(lineKinds);
      outlets = List.copyOf(outlets);
      refused = List.copyOf(refused);
    }
  }

  /** What all doors ask of a provider, and what is made of the answers. */
  private record Door<T>(
      Class<T> type,
      int oldest,
      int newest,
      ToIntFunction<T> version,
      Function<T, String> id,
      Function<T, String> summary,
      Guarded<T> guarded) {

    interface Guarded<T> {
      T of(T provider, String id, String summary, int version, PluginGuard guard);
    }
  }

  private static final Door<InstrumentDriver> DRIVERS =
      new Door<>(
          InstrumentDriver.class,
          InstrumentDriver.OLDEST_API_VERSION,
          InstrumentDriver.API_VERSION,
          InstrumentDriver::apiVersion,
          InstrumentDriver::id,
          InstrumentDriver::summary,
          GuardedDriver::new);

  private static final Door<LineKind> LINE_KINDS =
      new Door<>(
          LineKind.class,
          LineKind.OLDEST_API_VERSION,
          LineKind.API_VERSION,
          LineKind::apiVersion,
          LineKind::id,
          LineKind::summary,
          GuardedLineKind::new);

  private static final Door<OutletPlugin> OUTLETS =
      new Door<>(
          OutletPlugin.class,
          OutletPlugin.OLDEST_API_VERSION,
          OutletPlugin.API_VERSION,
          OutletPlugin::apiVersion,
          OutletPlugin::id,
          OutletPlugin::summary,
          GuardedOutlet::new);

  private final String jar;
  private final PluginLoader loader;
  private final PluginGuard guard;
  private final List<Plugin> refused = new ArrayList<>();
  private volatile String doing = "naming its providers";

  private JarScan(String jar, PluginLoader loader, PluginGuard guard) {
    this.jar = jar;
    this.loader = loader;
    this.guard = guard;
  }

  /** Never throws, and waits no longer than the patience. */
  static Result of(Path file, ClassLoader program, long patienceMs) {
    String jar = file.getFileName().toString();
    try {
      refuseTheSerialLibrary(file);
      PluginLoader loader = new PluginLoader(file.toUri().toURL(), program);
      JarScan scan = new JarScan(jar, loader, new PluginGuard(loader, patienceMs));
      return scan.guard.call(() -> scan.doing, scan::look);
    } catch (IOException unreadable) {
      return refusedAsAWhole(jar, "is no readable jar: " + PluginFault.said(unreadable));
    } catch (PluginFault fault) {
      return refusedAsAWhole(jar, fault.getMessage());
    }
  }

  private static Result refusedAsAWhole(String jar, String reason) {
    return new Result(
        jar, List.of(), List.of(), List.of(), List.of(Plugin.refused(jar, "", reason)));
  }

  /** Its native half can be loaded once in a process: a second copy would break real ports. */
  private static void refuseTheSerialLibrary(Path file) throws IOException {
    try (JarFile entries = new JarFile(file.toFile())) {
      if (entries.stream()
          .anyMatch(
              entry -> entry.getName().matches("(META-INF/versions/\\d+/)?com/fazecast/.*"))) {
        throw new PluginFault(
            "carries com/fazecast/: the program has its own serial library, leave it out");
      }
    }
  }

  private Result look() {
    List<InstrumentDriver> drivers = look(DRIVERS);
    List<LineKind> lineKinds = look(LINE_KINDS);
    List<OutletPlugin> outlets = look(OUTLETS);
    if (drivers.isEmpty() && lineKinds.isEmpty() && outlets.isEmpty() && refused.isEmpty()) {
      throw new PluginFault(
          "names no driver in META-INF/services/"
              + InstrumentDriver.class.getName()
              + ", no kind of line in META-INF/services/"
              + LineKind.class.getName()
              + " and no outlet in META-INF/services/"
              + OutletPlugin.class.getName());
    }
    return new Result(jar, drivers, lineKinds, outlets, refused);
  }

  private <T> List<T> look(Door<T> door) {
    List<T> found = new ArrayList<>();
    Iterator<ServiceLoader.Provider<T>> providers =
        ServiceLoader.load(door.type(), loader).stream().iterator();
    // A list that throws may go on after it or throw for ever (JDK-8196182).
    for (int tries = 0; tries < MOST_PROVIDERS; tries++) {
      doing = "naming its providers";
      try {
        if (!providers.hasNext()) {
          break;
        }
        found.add(asked(door, providers.next()));
      } catch (Throwable thrown) {
        refused.add(Plugin.refused(jar, "", PluginFault.of(doing, thrown).getMessage()));
      }
    }
    return found;
  }

  private <T> T asked(Door<T> door, ServiceLoader.Provider<T> provider) {
    Class<? extends T> type = provider.type();
    if (type.getClassLoader() != loader) {
      throw new PluginFault("names " + type.getName() + ", which is not in the jar");
    }
    if (!Modifier.isFinal(type.getModifiers())) {
      throw new PluginFault("the class " + type.getName() + " is not final");
    }
    doing = "the constructor of " + type.getName();
    T made = provider.get();
    doing = "apiVersion() of " + type.getName();
    int version = door.version().applyAsInt(made);
    if (version < door.oldest() || version > door.newest()) {
      throw wrongVersion(door, version);
    }
    doing = "id() of " + type.getName();
    String id = door.id().apply(made);
    if (id == null || !id.matches("[a-z][a-z0-9]*(-[a-z0-9]+)*")) {
      throw new PluginFault(doing + " must give lower-case words joined by hyphens");
    }
    doing = "summary() of " + type.getName();
    String summary = door.summary().apply(made);
    if (summary == null || summary.isBlank()) {
      throw new PluginFault(doing + " gives nothing");
    }
    return door.guarded().of(made, id, PluginFault.harmless(summary), version, guard);
  }

  private static PluginFault wrongVersion(Door<?> door, int version) {
    return new PluginFault(
        "was compiled for version "
            + version
            + " of "
            + door.type().getSimpleName()
            + ", this program has version "
            + door.newest()
            + (version > door.newest() ? ": it needs a newer program" : ": compile it anew"));
  }
}
