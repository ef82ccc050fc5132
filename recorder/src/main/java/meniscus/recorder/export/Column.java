package meniscus.recorder.export;

import java.time.Instant;

/**
 * A column of an exported table.
 *
 * @param name as in points.csv where it is the same
 * @param unit symbol; empty where there is none
 * @param kind what its cells are, where they are known
 */
public record Column(String name, String unit, Kind kind) {

  /** What the cells of a column are. */
  public enum Kind {
    TEXT(String.class),
    TIME(Instant.class),
    COUNT(Integer.class),
    NUMBER(Double.class),
    FLAG(Boolean.class);

    private final Class<?> cells;

    Kind(Class<?> cells) {
      this.cells = cells;
    }

    boolean fits(Object cell) {
      return cell == null || cells.isInstance(cell);
    }
  }

  static Column text(String name) {
    return new Column(name, "", Kind.TEXT);
  }

  static Column time(String name) {
    return new Column(name, "", Kind.TIME);
  }

  static Column count(String name) {
    return new Column(name, "", Kind.COUNT);
  }

  static Column flag(String name) {
    return new Column(name, "", Kind.FLAG);
  }

  static Column number(String name, String unit) {
    return new Column(name, unit, Kind.NUMBER);
  }

  /** {@code flow (cfm)}. */
  String heading() {
    return unit.isEmpty() ? name : name + " (" + unit + ")";
  }
}
