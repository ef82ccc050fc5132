package meniscus.recorder.folder;

import static meniscus.recorder.folder.Field.flag;
import static meniscus.recorder.folder.Field.instant;
import static meniscus.recorder.folder.Field.integer;
import static meniscus.recorder.folder.Field.number;
import static meniscus.recorder.folder.Field.oneOf;
import static meniscus.recorder.folder.Field.text;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Stream;
import meniscus.core.bench.Calibration;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Sweep;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Worded;
import meniscus.core.remark.Remark;
import meniscus.core.remark.RemarkText;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.time.UtcAnchor;
import meniscus.core.uncertainty.Contribution;

/** points.csv: one row a kept rung, in the plan's units. */
record PointsTable(Plan.Units units) {
  static final String FILE = "points.csv";

  private static final String SEPARATOR = "; ";
  private static final String BY_EYE = "read_by_eye";

  /** The units that a table of earlier was written in. */
  static Plan.Units units(Resource points) throws BadTestFolder {
    Map<String, String> codes = new HashMap<>();
    points.fields().forEach(field -> codes.put(field.name(), field.unit()));
    try {
      return new Plan.Units(
          Unit.named(codes.getOrDefault("lift", ""), Dimension.LENGTH),
          Unit.named(codes.getOrDefault("flow", ""), Dimension.VOLUME_FLOW),
          Unit.named(codes.getOrDefault("test_pressure", ""), Dimension.PRESSURE));
    } catch (IllegalArgumentException e) {
      throw new BadTestFolder(FILE + ": " + e.getMessage(), e);
    }
  }

  List<Field> fields() {
    String lift = units.lift().code();
    String flow = units.flow().code();
    return List.of(
        integer("rung", "1", "number on the ladder, 1 for the first"),
        instant("kept_at", "when it was kept, UTC"),
        number("lift", lift, "valve lift as asked"),
        number("flow", flow, "flow of reference air at the reference test pressure"),
        number("flow_u95", flow, "half-width of its 95 % interval, all sources"),
        number("flow_repeat_u95", flow, "half-width from fluctuation alone, 95 %"),
        number("test_pressure", units.pressure().code(), "mean test pressure over the window"),
        number("effective_area_mm2", "mm2", "effective area CdA of the port"),
        oneOf("verdict", "what is said of the air", Worded.words(Verdict.values())),
        number("unsteadiness", "1", "fluctuation against the bench's calm record"),
        number("seconds", "s", "length of the averaging window"),
        number("effective_samples", "1", "independent readings that the window is worth"),
        number("cd_curtain", "1", "CdA over the curtain areas of the opened valves"),
        number("lift_read", lift, "mean of the lift channel"),
        number("lift_u95", lift, "half-width of its 95 % interval"),
        oneOf("sweep", "side the lift was come to from", Worded.words(Sweep.values())),
        integer("attempt", "1", "1 for the first time at this rung"),
        flag("pressure_as_asked", "false when the blower could not reach the aim"),
        text("range", "range of the bench"),
        integer("segment", "1", "unbroken stretch of the test, 1 for the first"),
        text("remarks", "on the value, parted by semicolons"),
        text("calibration", "SHA-256 of the calibration used; empty without one"),
        flag(BY_EYE, "true when a person read drop or test pressure"));
  }

  /** What the rules of verdicts decide; all else follows from the samples alone. */
  static final Set<String> OF_THE_VERDICT = Set.of("verdict", "unsteadiness", "remarks");

  /** The columns that every test folder has; later ones came with later versions. */
  List<String> askedColumns() {
    List<String> all = Field.names(fields());
    return all.subList(0, all.indexOf("calibration"));
  }

  List<String> row(LiftPoint point, UtcAnchor anchor) {
    Unit flow = units.flow();
    Unit lift = units.lift();
    return List.of(
        Integer.toString(point.rung()),
        Cell.instant(anchor.instantOf(point.keptAt())),
        Cell.number(lift.fromSi(point.liftM())),
        Cell.number(flow.fromSi(point.flowM3PerS())),
        Cell.number(in(flow, point.flowU95())),
        Cell.number(in(flow, point.flowRepeatU95())),
        Cell.number(units.pressure().fromSi(point.testPressurePa())),
        Cell.number(Unit.SQUARE_MILLIMETRE.fromSi(point.effectiveAreaM2())),
        point.verdict().word(),
        Cell.number(point.unsteadiness()),
        Cell.number(point.average().seconds()),
        Cell.number(point.average().effectiveSamples()),
        Cell.number(point.flow().cdCurtain()),
        Cell.number(in(lift, point.setting().liftReadM())),
        Cell.number(in(lift, point.setting().liftU95())),
        point.sweep().word(),
        Integer.toString(point.attempt()),
        Boolean.toString(point.pressureAsAsked()),
        Cell.text(point.range()),
        Integer.toString(point.taken().segment()),
        Cell.text(String.join(SEPARATOR, point.remarkSentences())),
        Cell.text(Calibration.usedIn(point.budget()).orElse("")),
        Boolean.toString(point.readByEye()));
  }

  private static OptionalDouble in(Unit unit, OptionalDouble si) {
    return si.isPresent() ? OptionalDouble.of(unit.fromSi(si.getAsDouble())) : si;
  }

  LiftPoint point(Csv.Row row, Anchors anchors, List<Contribution> budget) throws BadTestFolder {
    int segment = whole(row, "segment");
    UtcAnchor anchor = anchors.of(segment);
    long sinceAnchor;
    try {
      sinceAnchor = anchor.at().until(row.instant("kept_at"), java.time.temporal.ChronoUnit.NANOS);
    } catch (ArithmeticException e) {
      throw row.wrong("kept_at", "lies centuries from its segment");
    }
    boolean told = row.has(BY_EYE);
    LiftPoint point =
        new LiftPoint(
            new LiftPoint.Taken(
                whole(row, "rung"),
                whole(row, "attempt"),
                segment,
                new Moment(anchor.moment().nanos() + sinceAnchor),
                units.lift().toSi(row.number("lift")),
                row.word("sweep", Sweep.class),
                row.text("range")),
            new LiftPoint.Flow(
                Unit.SQUARE_MILLIMETRE.toSi(row.number("effective_area_mm2")),
                units.flow().toSi(row.number("flow")),
                si(units.flow(), row.optional("flow_u95")),
                si(units.flow(), row.optional("flow_repeat_u95")),
                row.optional("cd_curtain")),
            new LiftPoint.Setting(
                units.pressure().toSi(row.number("test_pressure")),
                row.flag("pressure_as_asked"),
                si(units.lift(), row.optional("lift_read")),
                si(units.lift(), row.optional("lift_u95"))),
            new LiftPoint.Average(
                row.word("verdict", Verdict.class),
                row.optional("unsteadiness"),
                row.number("seconds"),
                row.number("effective_samples"),
                told && row.flag(BY_EYE)),
            remarks(row.text("remarks")),
            budget);
    return told ? point : point.readByEyeAsRemarked();
  }

  private static OptionalDouble si(Unit unit, OptionalDouble number) {
    return number.isPresent() ? OptionalDouble.of(unit.toSi(number.getAsDouble())) : number;
  }

  static int whole(Csv.Row row, String column) throws BadTestFolder {
    long value = row.integer(column);
    if (value != (int) value) {
      throw row.wrong(column, value + " is too large");
    }
    return (int) value;
  }

  private static List<Remark> remarks(String cell) {
    return cell.isEmpty()
        ? List.of()
        : Stream.of(cell.split(SEPARATOR)).map(RemarkText::remark).toList();
  }
}
