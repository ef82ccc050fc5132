package meniscus.recorder.export;

/**
 * A column of an exported table.
 *
 * @param name as in points.csv where it is the same
 * @param unit symbol; empty where there is none
 */
public record Column(String name, String unit) {

  static Column of(String name) {
    return new Column(name, "");
  }

  /** {@code flow (cfm)}. */
  String heading() {
    return unit.isEmpty() ? name : name + " (" + unit + ")";
  }
}
