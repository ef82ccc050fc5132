package meniscus.recorder.collection;

import java.util.List;
import java.util.stream.Stream;
import meniscus.core.quantity.Coded;
import meniscus.recorder.export.Column;

/**
 * The tables of a collection. Every number is SI; its unit stands in the column's name, and there
 * is none behind the name of a plain number.
 */
enum CollectedTable implements Coded {
  /** One row a test. */
  TESTS(
      Column.text("test_id"),
      Column.flag("test_id_drawn"),
      Column.text("sha256"),
      Column.text("notes_sha256"),
      Column.text("test"),
      Column.time("began"),
      Column.text("bench_id"),
      Column.text("bench_name"),
      Column.count("bench_epoch"),
      Column.text("bench_stretch"),
      Column.text("calibration"),
      Column.text("head"),
      Column.text("chamber"),
      Column.text("port"),
      Column.text("port_kind"),
      Column.text("valve_job"),
      Column.text("part_state"),
      Column.text("customer_reference"),
      Column.text("changes"),
      Column.longCount("same_port"),
      Column.text("direction"),
      Column.number("test_pressure_pa", ""),
      Column.number("reference_temperature_k", ""),
      Column.number("reference_pressure_pa", ""),
      Column.number("reference_humidity", ""),
      Column.number("reference_test_pressure_pa", ""),
      Column.count("points"),
      Column.count("curve_points"),
      Column.number("curve_mean_flow_m3_per_s", ""),
      Column.flag("read_by_eye"),
      Column.text("damage"),
      Column.text("program"),
      Column.text("format")),

  /** One row a kept rung. */
  POINTS(
      Column.text("test_id"),
      Column.text("bench_id"),
      Column.count("bench_epoch"),
      Column.text("port_kind"),
      Column.count("rung"),
      Column.count("attempt"),
      Column.count("segment"),
      Column.time("kept_at"),
      Column.number("lift_m", ""),
      Column.text("sweep"),
      Column.text("range"),
      Column.number("flow_m3_per_s", ""),
      Column.number("flow_u95_m3_per_s", ""),
      Column.number("flow_repeat_u95_m3_per_s", ""),
      Column.number("test_pressure_pa", ""),
      Column.flag("pressure_as_asked"),
      Column.number("effective_area_m2", ""),
      Column.number("cd_curtain", ""),
      Column.text("verdict"),
      Column.number("unsteadiness", ""),
      Column.number("window_s", ""),
      Column.number("effective_samples", ""),
      Column.number("lift_read_m", ""),
      Column.number("lift_u95_m", ""),
      Column.text("calibration"),
      Column.flag("read_by_eye"),
      Column.flag("on_curve"),
      Column.flag("trusted"),
      Column.text("set_aside"),
      Column.text("remarks")),

  /** One row a source of a rung's uncertainty. */
  BUDGET(
      Column.text("test_id"),
      Column.count("rung"),
      Column.text("source"),
      Column.text("kind"),
      Column.number("u_si", ""),
      Column.number("degrees_of_freedom", ""),
      Column.number("sensitivity_m3_per_s_per_si", ""),
      Column.number("effect_m3_per_s", ""),
      Column.text("shared_id")),

  /** One row a check of a bench, however many tests have it with them. */
  CHECKS(
      Column.text("check_id"),
      Column.text("bench_id"),
      Column.text("bench_name"),
      Column.count("bench_epoch"),
      Column.time("checked_at"),
      Column.text("kind"),
      Column.text("subject"),
      Column.text("direction"),
      Column.text("range"),
      Column.number("value_si", ""),
      Column.number("expected_si", ""),
      Column.number("u_si", ""),
      Column.number("limit_si", ""),
      Column.flag("within_limit"),
      Column.text("remark")),

  /** One row a value of a received frame. */
  SAMPLES(
      Column.text("test_id"),
      Column.longCount("frame"),
      Column.longCount("moment_ns"),
      Column.text("instrument"),
      Column.text("channel"),
      Column.text("unit"),
      Column.number("value_si", ""));

  /** Behind the columns, and in the files' place instead of in the files. */
  private static final Column YEAR = Column.count("year");

  private final List<Column> columns;

  CollectedTable(Column... columns) {
    this.columns = List.of(columns);
  }

  List<Column> columns() {
    return columns;
  }

  /** With the year (UTC) that its file is put by. */
  List<Column> staged() {
    return Stream.concat(columns.stream(), Stream.of(YEAR)).toList();
  }

  /** Those of a collection with the readings, or without. */
  static List<CollectedTable> of(boolean samples) {
    return Stream.of(values()).filter(table -> samples || table != SAMPLES).toList();
  }
}
