package meniscus.drivers.line;

import java.util.List;
import java.util.ServiceLoader;
import java.util.stream.Collectors;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/** The kinds of line there are. */
public final class Lines {

  private Lines() {}

  /** All kinds found by {@link ServiceLoader}. */
  public static List<LineKind> kinds() {
    return ServiceLoader.load(LineKind.class).stream().map(ServiceLoader.Provider::get).toList();
  }

  /**
   * How to open the line that settings describe.
   *
   * @param settings for example {@code {"kind": "serial", "port": "/dev/ttyUSB0", "baud": 9600}}
   * @throws Refusal when there is no such kind, or the kind refuses a setting
   */
  public static LineOpener opener(Settings settings) {
    return opener(settings, kinds());
  }

  /** The same, among these kinds only. */
  public static LineOpener opener(Settings settings, List<LineKind> kinds) {
    String id = settings.text("kind");
    return kinds.stream()
        .filter(kind -> kind.id().equals(id))
        .findFirst()
        .orElseThrow(
            () ->
                new Refusal(
                    settings.where()
                        + ": no kind of line \""
                        + id
                        + "\" is known; there are: "
                        + kinds.stream()
                            .map(LineKind::id)
                            .sorted()
                            .collect(Collectors.joining(", "))))
        .opener(settings);
  }
}
