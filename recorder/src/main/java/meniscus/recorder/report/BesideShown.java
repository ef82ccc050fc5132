package meniscus.recorder.report;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Beside;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Digits;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Band;
import meniscus.core.uncertainty.Coverage;

/** What was measured beside the flow of a test, as tables of text for report and page. */
public final class BesideShown {

  /** What a reader must know of every number in these tables. */
  public static final String SMALL_PRINT =
      "Means at each lift with their 95 % intervals; no flow depends on them.";

  private static final MathContext WITHOUT_INTERVAL = new MathContext(4);

  /**
   * @param title in words
   * @param columns what each cell of a row is, with its unit
   * @param rows one a point: its lift, its test pressure, then what was measured
   */
  public record Table(String title, List<String> columns, List<List<String>> rows) {}

  private BesideShown() {}

  /** Up to three tables: fast channel, probe, channels without a use; none for most tests. */
  public static List<Table> tables(List<LiftPoint> points, Plan.Units units) {
    Map<String, List<Beside>> kinds = new LinkedHashMap<>();
    for (LiftPoint point : points) {
      for (Beside beside : point.beside()) {
        List<Beside> known = kinds.computeIfAbsent(title(beside), t -> new ArrayList<>());
        if (known.stream().noneMatch(other -> other.name().equals(beside.name()))) {
          known.add(beside);
        }
      }
    }
    List<Table> tables = new ArrayList<>();
    kinds.forEach((title, columns) -> tables.add(table(title, columns, points, units)));
    return tables;
  }

  private static String title(Beside beside) {
    if (Band.named(beside.name()).isPresent() || onPlates(beside.name()).isPresent()) {
      return "Fast channel, root mean square in each band";
    }
    return beside.name().equals(Beside.PROBE_VELOCITY)
        ? "Velocity at the probe"
        : "Channels without a use";
  }

  private static Table table(
      String title, List<Beside> columns, List<LiftPoint> points, Plan.Units units) {
    InUnits in = new InUnits(units);
    List<String> names = new ArrayList<>(List.of("lift", "test pressure"));
    columns.forEach(column -> names.add(name(column, units)));
    List<List<String>> rows = new ArrayList<>();
    for (LiftPoint point : points) {
      List<String> row = new ArrayList<>();
      row.add(in.lift(point.liftM()));
      row.add(in.pressure(point.testPressurePa()));
      columns.forEach(
          column ->
              row.add(
                  point
                      .beside(column.name())
                      .map(b -> overPlates(point, b).orElseGet(() -> value(b, units)))
                      .orElse("–")));
      rows.add(row);
    }
    return new Table(title, names, rows);
  }

  private static Optional<Band> onPlates(String name) {
    return Stream.of(Band.values()).filter(band -> band.wordOnPlates().equals(name)).findFirst();
  }

  /** How far a level is above that of the plates; empty for what is no level of plates. */
  private static Optional<String> overPlates(LiftPoint point, Beside plates) {
    return onPlates(plates.name())
        .flatMap(band -> point.beside(band.word()))
        .map(
            here -> {
              double half =
                  Band.DECIBEL
                      * Coverage.NORMAL_95
                      * Math.hypot(
                          here.standardUncertainty() / here.value(),
                          plates.standardUncertainty() / plates.value());
              double above = Band.DECIBEL * Math.log(here.value() / plates.value());
              return Digits.value(above, half) + " ± " + Digits.uncertainty(half);
            });
  }

  private static String name(Beside beside, Plan.Units units) {
    if (onPlates(beside.name()).isPresent()) {
      return onPlates(beside.name()).get().words() + ", above plates, dB";
    }
    Optional<Band> band = Band.named(beside.name());
    String words =
        band.isPresent()
            ? band.get().words()
            : beside.name().equals(Beside.PROBE_VELOCITY) ? "velocity" : beside.name();
    String symbol = unit(beside.unit(), units).symbol();
    return symbol.equals(Unit.ONE.symbol()) ? words : words + ", " + symbol;
  }

  private static String value(Beside beside, Plan.Units units) {
    Unit unit = unit(beside.unit(), units);
    double value = unit.fromSi(beside.value());
    double half = beside.u95().orElse(0) / unit.factor();
    if (half > 0) {
      return Digits.value(value, half) + " ± " + Digits.uncertainty(half);
    }
    String alone = new BigDecimal(value).round(WITHOUT_INTERVAL).toPlainString();
    return alone + (beside.u95().isPresent() ? " ± 0" : ", interval unknown");
  }

  /** The unit that the reader of a plan thinks in. */
  private static Unit unit(Unit si, Plan.Units units) {
    boolean inch = units.lift() == Unit.INCH_LENGTH;
    return switch (si.dimension()) {
      case PRESSURE -> units.pressure();
      case LENGTH -> units.lift();
      case VOLUME_FLOW -> units.flow();
      case VELOCITY -> inch ? Unit.FOOT_PER_SECOND : si;
      case TEMPERATURE -> inch ? Unit.DEGREE_FAHRENHEIT : Unit.DEGREE_CELSIUS;
      default -> si;
    };
  }
}
