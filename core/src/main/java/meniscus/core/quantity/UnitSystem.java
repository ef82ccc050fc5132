package meniscus.core.quantity;

import java.util.List;

/** The units that a shop reads and writes. The program computes in SI whichever is chosen. */
public enum UnitSystem implements Coded {
  METRIC,
  INCH;

  /** The one that a unit is written in; metric when both know it or none. */
  public static UnitSystem of(Unit unit) {
    return !METRIC.units(unit.dimension()).contains(unit)
            && INCH.units(unit.dimension()).contains(unit)
        ? INCH
        : METRIC;
  }

  /** The unit in which a quantity is shown. */
  public Unit unit(Dimension dimension) {
    return units(dimension).get(0);
  }

  /** Every unit of this system that people write a quantity in, the one shown first. */
  public List<Unit> units(Dimension dimension) {
    return this == METRIC ? metric(dimension) : inch(dimension);
  }

  private static List<Unit> metric(Dimension dimension) {
    return switch (dimension) {
      case PRESSURE -> List.of(Unit.PASCAL, Unit.HECTOPASCAL, Unit.KILOPASCAL);
      case TEMPERATURE -> List.of(Unit.DEGREE_CELSIUS, Unit.KELVIN);
      case LENGTH -> List.of(Unit.MILLIMETRE, Unit.METRE, Unit.MICROMETRE);
      case AREA -> List.of(Unit.SQUARE_MILLIMETRE, Unit.SQUARE_METRE);
      case VOLUME -> List.of(Unit.LITRE, Unit.CUBIC_CENTIMETRE, Unit.CUBIC_METRE);
      case STIFFNESS -> List.of(Unit.NEWTON_PER_MILLIMETRE, Unit.NEWTON_PER_METRE);
      case VOLUME_FLOW ->
          List.of(Unit.LITRE_PER_SECOND, Unit.CUBIC_METRE_PER_HOUR, Unit.CUBIC_METRE_PER_SECOND);
      default -> common(dimension);
    };
  }

  private static List<Unit> inch(Dimension dimension) {
    return switch (dimension) {
      case PRESSURE -> List.of(Unit.INCH_OF_WATER, Unit.INCH_OF_MERCURY, Unit.PSI);
      case TEMPERATURE -> List.of(Unit.DEGREE_FAHRENHEIT);
      case DENSITY -> List.of(Unit.POUND_PER_CUBIC_FOOT);
      case LENGTH -> List.of(Unit.INCH_LENGTH, Unit.FOOT_LENGTH);
      case AREA -> List.of(Unit.SQUARE_INCH);
      case VOLUME -> List.of(Unit.CUBIC_FOOT, Unit.CUBIC_INCH);
      case FORCE -> List.of(Unit.POUND_FORCE);
      case STIFFNESS -> List.of(Unit.POUND_FORCE_PER_INCH);
      case VOLUME_FLOW -> List.of(Unit.CUBIC_FOOT_PER_MINUTE);
      case VELOCITY -> List.of(Unit.FOOT_PER_SECOND);
      default -> common(dimension);
    };
  }

  private static List<Unit> common(Dimension dimension) {
    return switch (dimension) {
      case TIME -> List.of(Unit.SECOND, Unit.MILLISECOND);
      case MASS -> List.of(Unit.GRAM, Unit.KILOGRAM);
      case ANGLE -> List.of(Unit.DEGREE);
      case RATIO -> List.of(Unit.PERCENT, Unit.ONE);
      default -> List.of(Unit.si(dimension));
    };
  }
}
