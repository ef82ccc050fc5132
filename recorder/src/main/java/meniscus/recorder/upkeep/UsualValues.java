package meniscus.recorder.upkeep;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.TreeMap;
import meniscus.core.quantity.UnitSystem;

/**
 * What upkeep does where nothing else is asked for, as people would type it: the one place for
 * terminal and page alike. A bench in metric units takes round numbers of its own near the inches.
 */
public final class UsualValues {

  public static final String ZERO_SECONDS = "10";
  public static final String LEAK_AT = "7 inH2O, 14 inH2O, 28 inH2O";

  /** Common practice, no source. */
  public static final String LEAK_LIMIT = "1 cfm";

  public static final String DECAY_SECONDS = "60";
  public static final String CALIBRATION_AT = "10 inH2O, 20 inH2O, 28 inH2O";
  public static final String CHECK_AT = "28 inH2O";
  public static final String CALM_AT = "28 inH2O";
  public static final String CALM_SECONDS = "60";
  public static final String TARGET = "0.1 %";
  public static final String FITTINGS = "6";

  /** By task and option. */
  private static final Map<String, Map<String, String>> ALL = new LinkedHashMap<>();

  static {
    ALL.put(ZeroTask.WORD, Map.of("seconds", ZERO_SECONDS));
    ALL.put(
        LeakageTask.WORD,
        Map.of(
            "set_up",
            LeakTest.BLANKED,
            "at",
            LEAK_AT,
            "limit",
            LEAK_LIMIT,
            "seconds",
            DECAY_SECONDS,
            "target",
            TARGET));
    ALL.put(CalibrateTask.WORD, Map.of("at", CALIBRATION_AT, "target", TARGET));
    ALL.put(CheckTask.WORD, Map.of("at", CHECK_AT, "target", TARGET));
    ALL.put(RepeatTask.WORD, Map.of("fittings", FITTINGS));
    ALL.put(CalmTask.WORD, Map.of("at", CALM_AT, "seconds", CALM_SECONDS));
  }

  /** In place of the inches, for a bench in metric units. */
  private static final Map<String, String> METRIC =
      Map.of(
          LEAK_AT, "1.8 kPa, 3.5 kPa, 7 kPa",
          CALIBRATION_AT, "2.5 kPa, 5 kPa, 7 kPa",
          CHECK_AT, "7 kPa",
          LEAK_LIMIT, "0.5 L/s");

  private UsualValues() {}

  /** Values of one task by option, in a bench's units; none for a task that takes none. */
  public static Map<String, String> of(String task, UnitSystem units) {
    Map<String, String> values = new TreeMap<>(ALL.getOrDefault(task, Map.of()));
    if (units == UnitSystem.METRIC) {
      values.replaceAll((option, value) -> METRIC.getOrDefault(value, value));
    }
    return values;
  }

  /** Those of every task, by its word. */
  public static Map<String, Map<String, String>> all(UnitSystem units) {
    Map<String, Map<String, String>> all = new LinkedHashMap<>();
    ALL.keySet().forEach(task -> all.put(task, of(task, units)));
    return all;
  }
}
