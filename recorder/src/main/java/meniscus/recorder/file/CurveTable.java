package meniscus.recorder.file;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.flow.PressureScaling;
import meniscus.core.lift.Lifts;
import meniscus.core.quantity.Coded;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;

/** A curve in a spreadsheet's table: which columns are meant, in which units, and their numbers. */
public final class CurveTable {

  /** {@code Flow (cfm)}, {@code flow [L/s]}, {@code lift_mm}, {@code lift, in}. */
  private static final Pattern WITH_UNIT =
      Pattern.compile("(.*?)[\\s_,]*(?:\\(([^)]*)\\)|\\[([^\\]]*)\\]|[\\s_,]([^\\s_,]+))");

  /** What moves flows of one test to one pressure is the plain root; the air hardly matters. */
  private static final double ROOM_PA = 101_325;

  private static final double SPECIFIC_HEATS = 1.4;

  private final SpreadsheetTable table;

  public CurveTable(SpreadsheetTable table) {
    this.table = table;
  }

  /** What a column may hold, and what it is mostly called. */
  public enum Meaning implements Coded {
    LIFT(Dimension.LENGTH, "lift", "valve lift"),
    FLOW(Dimension.VOLUME_FLOW, "flow", "air flow", "flow rate"),
    PRESSURE(Dimension.PRESSURE, "test pressure", "pressure", "depression");

    private final Dimension dimension;
    private final List<String> names;

    Meaning(Dimension dimension, String... names) {
      this.dimension = dimension;
      this.names = List.of(names);
    }

    public Dimension dimension() {
      return dimension;
    }
  }

  /**
   * A column that was found.
   *
   * @param number from 0
   * @param unit that its heading names, where it names one
   */
  public record Column(Meaning meaning, int number, Optional<Unit> unit) {}

  /** A column and the unit of its numbers. */
  public record In(Column column, Unit unit) {}

  /**
   * What was read.
   *
   * @param points lifts rising
   * @param testPressurePa when a column told it
   * @param leftOut rows without a flow, or with the valve shut
   */
  public record Read(
      List<ExternalCurve.Point> points, OptionalDouble testPressurePa, int leftOut) {}

  private record Heading(String name, Optional<Unit> unit) {}

  /**
   * Finds a column.
   *
   * @param asked its heading or its number from 1, where the user says so; else it goes by its name
   * @return empty when nothing was asked and no heading fits
   * @throws FileNotAccepted when what was asked is not there, or more than one column fits
   */
  public Optional<Column> find(Meaning meaning, Optional<String> asked) {
    List<Integer> fitting =
        IntStream.range(0, table.headings().size())
            .filter(i -> asked.map(name -> is(meaning, i, name)).orElseGet(() -> usual(meaning, i)))
            .boxed()
            .toList();
    if (fitting.size() > 1) {
      throw new FileNotAccepted(
          table.file()
              + ": more than one column could be the "
              + meaning.word()
              + ": say which with --"
              + meaning.word()
              + "-column; "
              + headings());
    }
    if (fitting.isEmpty() && asked.isPresent()) {
      int number = number(asked.get());
      if (number < 1 || number > table.headings().size()) {
        throw new FileNotAccepted(
            table.file() + " has no column \"" + asked.get() + "\"; " + headings());
      }
      fitting = List.of(number - 1);
    }
    return fitting.stream()
        .findFirst()
        .map(i -> new Column(meaning, i, heading(meaning, i).unit()));
  }

  private static int number(String text) {
    return text.matches("\\d{1,3}") ? Integer.parseInt(text) : -1;
  }

  private boolean is(Meaning meaning, int column, String asked) {
    return table.headings().get(column).equalsIgnoreCase(asked.strip())
        || heading(meaning, column).name().equalsIgnoreCase(asked.strip());
  }

  private boolean usual(Meaning meaning, int column) {
    Heading heading = heading(meaning, column);
    return meaning.names.contains(heading.name().toLowerCase(Locale.ROOT))
        || heading.name().isEmpty() && heading.unit().isPresent();
  }

  /** A heading that is a unit alone names its column by it: {@code cfm}. */
  private Heading heading(Meaning meaning, int column) {
    String text = table.headings().get(column).replaceAll("\\s+", " ");
    Optional<Unit> whole = unit(text, meaning);
    if (whole.isPresent()) {
      return new Heading("", whole);
    }
    Matcher matcher = WITH_UNIT.matcher(text);
    if (matcher.matches()) {
      boolean bracketed = matcher.group(4) == null;
      String named =
          bracketed
              ? matcher.group(2) == null ? matcher.group(3) : matcher.group(2)
              : matcher.group(4);
      Optional<Unit> unit = unit(named, meaning);
      if (unit.isPresent() || bracketed) {
        return new Heading(matcher.group(1).replace('_', ' ').strip(), unit);
      }
    }
    return new Heading(text.replace('_', ' ').strip(), Optional.empty());
  }

  private static Optional<Unit> unit(String name, Meaning meaning) {
    try {
      return Optional.of(Unit.named(name.strip(), meaning.dimension));
    } catch (Refusal none) {
      return Optional.empty();
    }
  }

  /** {@code its columns are "Lift", "Flow"}. */
  public String headings() {
    return "its columns are \"" + String.join("\", \"", table.headings()) + "\"";
  }

  /**
   * Reads the numbers. Where each row has a test pressure of its own, flows are moved to that of
   * the first by the plain root.
   *
   * @param asked decimal mark; empty: it is found out
   * @throws FileNotAccepted naming line and column of what is wrong
   */
  public Read read(In lift, In flow, Optional<In> pressure, Optional<DecimalMark> asked) {
    DecimalMark mark =
        asked.orElseGet(
            () ->
                DecimalMark.of(
                    table,
                    IntStream.concat(
                            IntStream.of(lift.column().number(), flow.column().number()),
                            pressure.stream().mapToInt(in -> in.column().number()))
                        .toArray()));
    List<Row> rows = new ArrayList<>();
    OptionalDouble first = OptionalDouble.empty();
    int leftOut = 0;
    for (int row = 0; row < table.rows(); row++) {
      if (isEmpty(row, flow) || isEmpty(row, lift)) {
        leftOut++;
        continue;
      }
      double liftM = value(mark, row, lift);
      double flowM3PerS = value(mark, row, flow);
      if (liftM == 0) {
        leftOut++;
        continue;
      }
      refuseNegative(row, lift, liftM);
      refuseNegative(row, flow, flowM3PerS);
      if (pressure.isPresent()) {
        double pa = Math.abs(value(mark, row, pressure.get()));
        refuseNegative(row, pressure.get(), pa);
        first = first.isPresent() ? first : OptionalDouble.of(pa);
        flowM3PerS *=
            PressureScaling.ROOT.factor(pa, first.getAsDouble(), ROOM_PA, SPECIFIC_HEATS, 0);
      }
      rows.add(new Row(row, new ExternalCurve.Point(liftM, flowM3PerS)));
    }
    return new Read(rising(rows, lift), first, leftOut);
  }

  private record Row(int number, ExternalCurve.Point point) {}

  private List<ExternalCurve.Point> rising(List<Row> rows, In lift) {
    if (rows.isEmpty()) {
      throw new FileNotAccepted(table.file() + " has no row with a lift and a flow");
    }
    List<Row> sorted = new ArrayList<>(rows);
    sorted.sort(Comparator.comparingDouble(row -> row.point().liftM()));
    for (int i = 1; i < sorted.size(); i++) {
      if (Lifts.same(sorted.get(i).point().liftM(), sorted.get(i - 1).point().liftM())) {
        int one = sorted.get(i - 1).number();
        int other = sorted.get(i).number();
        throw new FileNotAccepted(
            table.place(Math.max(one, other), lift.column().number())
                + ": the lift of line "
                + table.line(Math.min(one, other))
                + " is there twice (less than 0.01 mm apart is one lift); keep one row a lift (one"
                + " curve a file, or name another --flow-column for the other)");
      }
    }
    return sorted.stream().map(Row::point).toList();
  }

  private boolean isEmpty(int row, In in) {
    return table.cell(row, in.column().number()).isEmpty();
  }

  private double value(DecimalMark mark, int row, In in) {
    return in.unit().toSi(mark.number(table, row, in.column().number()));
  }

  private void refuseNegative(int row, In in, double value) {
    if (!(value > 0)) {
      throw new FileNotAccepted(
          table.place(row, in.column().number())
              + ": a "
              + in.column().meaning().word()
              + " is above zero; leave the cell empty where none was measured");
    }
  }
}
