package meniscus.recorder.export;

import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;

/**
 * A column of an exported table.
 *
 * @param name as in points.csv where it is the same
 * @param unit symbol, or the zone of a local time; empty where there is none
 * @param kind what its cells are, where they are known
 */
public record Column(String name, String unit, Kind kind) {

  /** What the cells of a column are. */
  public enum Kind {
    TEXT(String.class),
    TIME(Instant.class),
    LOCAL_TIME(LocalDateTime.class),
    COUNT(Integer.class),
    LONG_COUNT(Long.class),
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

  public static Column text(String name) {
    return new Column(name, "", Kind.TEXT);
  }

  public static Column time(String name) {
    return new Column(name, "", Kind.TIME);
  }

  /** A time of another column on the clocks of a zone. */
  static Column local(String name, ZoneId zone) {
    return new Column(name + "_local", zone.getId(), Kind.LOCAL_TIME);
  }

  public static Column count(String name) {
    return new Column(name, "", Kind.COUNT);
  }

  /** A count that may be beyond two thousand millions. */
  public static Column longCount(String name) {
    return new Column(name, "", Kind.LONG_COUNT);
  }

  public static Column flag(String name) {
    return new Column(name, "", Kind.FLAG);
  }

  public static Column number(String name, String unit) {
    return new Column(name, unit, Kind.NUMBER);
  }

  /** {@code flow (cfm)}. */
  String heading() {
    return unit.isEmpty() ? name : name + " (" + unit + ")";
  }
}
