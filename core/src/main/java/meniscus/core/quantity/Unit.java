package meniscus.core.quantity;

import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Collectors;
import meniscus.core.refusal.Refusal;

/**
 * A unit of measure: SI value = number × factor + offset.
 *
 * <p>Factors: NIST SP 811 (2008) appendix B unless a line says otherwise; exact definitions are
 * written out. An inch of water names its water temperature; without one it is the conventional
 * inch, 1000 kg/m³ × 9.806 65 m/s² × 25.4 mm = 249.088 91 Pa.
 *
 * @param code UCUM code, as written into data files
 * @param symbol how a person writes it, as shown on screen
 * @param dimension what it measures
 * @param factor SI units in one of this unit
 * @param offset SI value of zero in this unit (only temperatures have one)
 */
public record Unit(String code, String symbol, Dimension dimension, double factor, double offset) {

  // By definition: yard and pound of 1959, standard gravity of the 3rd CGPM, 1901.
  private static final double INCH = 0.0254;
  private static final double FOOT = 0.3048;
  private static final double STANDARD_GRAVITY = 9.80665;
  private static final double POUND = 0.45359237;

  private static final Map<String, Unit> BY_NAME = new LinkedHashMap<>();

  public static final Unit PASCAL = unit("Pa", "Pa", Dimension.PRESSURE, 1);
  public static final Unit HECTOPASCAL = unit("hPa", "hPa", Dimension.PRESSURE, 100);
  public static final Unit KILOPASCAL = unit("kPa", "kPa", Dimension.PRESSURE, 1000);
  public static final Unit MEGAPASCAL = unit("MPa", "MPa", Dimension.PRESSURE, 1e6);
  public static final Unit BAR = unit("bar", "bar", Dimension.PRESSURE, 1e5);
  public static final Unit MILLIBAR = unit("mbar", "mbar", Dimension.PRESSURE, 100);
  public static final Unit ATMOSPHERE = unit("atm", "atm", Dimension.PRESSURE, 101325);
  public static final Unit PSI =
      unit("[psi]", "psi", Dimension.PRESSURE, POUND * STANDARD_GRAVITY / (INCH * INCH));

  /** Conventional inch of water, 249.088 91 Pa. */
  public static final Unit INCH_OF_WATER =
      unit("[in_i'H2O]", "inH2O", Dimension.PRESSURE, 1000 * STANDARD_GRAVITY * INCH, "inWC");

  /** Inch of water at 4 °C (39.2 °F), 249.082 Pa. */
  public static final Unit INCH_OF_WATER_4C =
      unit("[in_i'H2O]{4Cel}", "inH2O(4degC)", Dimension.PRESSURE, 249.082, "inH2O(39.2degF)");

  /** Inch of water at 60 °F, 248.84 Pa. */
  public static final Unit INCH_OF_WATER_60F =
      unit("[in_i'H2O]{60degF}", "inH2O(60degF)", Dimension.PRESSURE, 248.84);

  /** Inch of water at 20 °C (68 °F): water of 998.2067 kg/m³ (Tanaka et al. 2001), 248.6422 Pa. */
  public static final Unit INCH_OF_WATER_20C =
      unit(
          "[in_i'H2O]{20Cel}",
          "inH2O(20degC)",
          Dimension.PRESSURE,
          998.2067 * STANDARD_GRAVITY * INCH,
          "inH2O(68degF)");

  public static final Unit MILLIMETRE_OF_WATER =
      unit("mm[H2O]", "mmH2O", Dimension.PRESSURE, STANDARD_GRAVITY);
  public static final Unit CENTIMETRE_OF_WATER =
      unit("cm[H2O]", "cmH2O", Dimension.PRESSURE, 10 * STANDARD_GRAVITY);
  public static final Unit INCH_OF_MERCURY =
      unit("[in_i'Hg]", "inHg", Dimension.PRESSURE, 13595.1 * STANDARD_GRAVITY * INCH);

  /** Conventional; a torr, 101 325/760 Pa, is less by one part in seven million. */
  public static final Unit MILLIMETRE_OF_MERCURY =
      unit("mm[Hg]", "mmHg", Dimension.PRESSURE, 13595.1 * STANDARD_GRAVITY * 1e-3, "Torr");

  public static final Unit KELVIN = unit("K", "K", Dimension.TEMPERATURE, 1);
  public static final Unit DEGREE_CELSIUS =
      shifted("Cel", "degC", Dimension.TEMPERATURE, 1, 273.15, "°C", "C");
  public static final Unit DEGREE_FAHRENHEIT =
      shifted("[degF]", "degF", Dimension.TEMPERATURE, 5.0 / 9.0, 459.67 * 5 / 9, "°F", "F");

  public static final Unit KILOGRAM_PER_CUBIC_METRE =
      unit("kg/m3", "kg/m3", Dimension.DENSITY, 1, "kg/m³");
  public static final Unit POUND_PER_CUBIC_FOOT =
      unit("[lb_av]/[cft_i]", "lb/ft3", Dimension.DENSITY, POUND / (FOOT * FOOT * FOOT));

  public static final Unit METRE = unit("m", "m", Dimension.LENGTH, 1);
  public static final Unit MILLIMETRE = unit("mm", "mm", Dimension.LENGTH, 1e-3);
  public static final Unit CENTIMETRE = unit("cm", "cm", Dimension.LENGTH, 1e-2);
  public static final Unit MICROMETRE = unit("um", "um", Dimension.LENGTH, 1e-6, "µm");
  public static final Unit INCH_LENGTH = unit("[in_i]", "in", Dimension.LENGTH, INCH, "inch", "\"");
  public static final Unit FOOT_LENGTH = unit("[ft_i]", "ft", Dimension.LENGTH, FOOT);

  public static final Unit SQUARE_METRE = unit("m2", "m2", Dimension.AREA, 1, "m²");
  public static final Unit SQUARE_MILLIMETRE = unit("mm2", "mm2", Dimension.AREA, 1e-6, "mm²");
  public static final Unit SQUARE_INCH =
      unit("[sin_i]", "in2", Dimension.AREA, INCH * INCH, "in²", "sqin");

  public static final Unit CUBIC_METRE = unit("m3", "m3", Dimension.VOLUME, 1, "m³");
  public static final Unit LITRE = unit("L", "L", Dimension.VOLUME, 1e-3);
  public static final Unit CUBIC_CENTIMETRE =
      unit("cm3", "cm3", Dimension.VOLUME, 1e-6, "cm³", "cc", "mL");
  public static final Unit CUBIC_INCH =
      unit("[cin_i]", "in3", Dimension.VOLUME, INCH * INCH * INCH, "in³");
  public static final Unit CUBIC_FOOT =
      unit("[cft_i]", "ft3", Dimension.VOLUME, FOOT * FOOT * FOOT, "ft³");

  public static final Unit NEWTON = unit("N", "N", Dimension.FORCE, 1);
  public static final Unit POUND_FORCE =
      unit("[lbf_av]", "lbf", Dimension.FORCE, POUND * STANDARD_GRAVITY);
  public static final Unit NEWTON_PER_METRE = unit("N/m", "N/m", Dimension.STIFFNESS, 1);
  public static final Unit NEWTON_PER_MILLIMETRE = unit("N/mm", "N/mm", Dimension.STIFFNESS, 1e3);
  public static final Unit POUND_FORCE_PER_INCH =
      unit("[lbf_av]/[in_i]", "lbf/in", Dimension.STIFFNESS, POUND * STANDARD_GRAVITY / INCH);

  public static final Unit CUBIC_METRE_PER_SECOND =
      unit("m3/s", "m3/s", Dimension.VOLUME_FLOW, 1, "m³/s");
  public static final Unit CUBIC_METRE_PER_HOUR =
      unit("m3/h", "m3/h", Dimension.VOLUME_FLOW, 1 / 3600.0, "m³/h");
  public static final Unit LITRE_PER_SECOND = unit("L/s", "L/s", Dimension.VOLUME_FLOW, 1e-3);
  public static final Unit LITRE_PER_MINUTE =
      unit("L/min", "L/min", Dimension.VOLUME_FLOW, 1e-3 / 60);
  public static final Unit CUBIC_FOOT_PER_MINUTE =
      unit("[cft_i]/min", "cfm", Dimension.VOLUME_FLOW, FOOT * FOOT * FOOT / 60, "ft3/min");

  public static final Unit KILOGRAM_PER_SECOND = unit("kg/s", "kg/s", Dimension.MASS_FLOW, 1);
  public static final Unit GRAM_PER_SECOND = unit("g/s", "g/s", Dimension.MASS_FLOW, 1e-3);
  public static final Unit KILOGRAM_PER_HOUR =
      unit("kg/h", "kg/h", Dimension.MASS_FLOW, 1 / 3600.0);

  public static final Unit METRE_PER_SECOND = unit("m/s", "m/s", Dimension.VELOCITY, 1);
  public static final Unit FOOT_PER_SECOND = unit("[ft_i]/s", "ft/s", Dimension.VELOCITY, FOOT);

  public static final Unit SECOND = unit("s", "s", Dimension.TIME, 1);
  public static final Unit MILLISECOND = unit("ms", "ms", Dimension.TIME, 1e-3);
  public static final Unit MINUTE = unit("min", "min", Dimension.TIME, 60);
  public static final Unit HOUR = unit("h", "h", Dimension.TIME, 3600);

  public static final Unit KILOGRAM = unit("kg", "kg", Dimension.MASS, 1);
  public static final Unit GRAM = unit("g", "g", Dimension.MASS, 1e-3);

  public static final Unit RADIAN = unit("rad", "rad", Dimension.ANGLE, 1);
  public static final Unit DEGREE = unit("deg", "deg", Dimension.ANGLE, Math.PI / 180, "°");

  public static final Unit ONE = unit("1", "1", Dimension.RATIO, 1);
  public static final Unit PERCENT = unit("%", "%", Dimension.RATIO, 1e-2);

  public Unit {
    Objects.requireNonNull(code);
    Objects.requireNonNull(symbol);
    Objects.requireNonNull(dimension);
    if (!(factor > 0) || !Double.isFinite(offset)) {
      throw new Refusal("unit " + code + " needs a positive factor");
    }
  }

  /**
   * The unit that a person or a file means.
   *
   * @param name a symbol ({@code inH2O}), a UCUM code or a common spelling
   * @throws Refusal naming the known units when there is none of that name
   */
  public static Unit named(String name) {
    Unit unit = lookUp(name);
    if (unit == null) {
      throw new Refusal("no unit \"" + name + "\"; known: " + symbols(List.of(Dimension.values())));
    }
    return unit;
  }

  /**
   * As {@link #named(String)}, but only a unit of the wanted dimension.
   *
   * @throws Refusal naming the units of that dimension
   */
  public static Unit named(String name, Dimension wanted) {
    Unit unit = lookUp(name);
    if (unit == null || unit.dimension != wanted) {
      throw new Refusal(
          "\""
              + name
              + "\" is not a unit of "
              + wanted.word()
              + "; use one of: "
              + symbols(List.of(wanted)));
    }
    return unit;
  }

  /** The unit in which the program computes this dimension. */
  public static Unit si(Dimension dimension) {
    return BY_NAME.get(dimension.siCode());
  }

  /** Every unit of a dimension, SI first. */
  public static List<Unit> of(Dimension dimension) {
    List<Unit> units = new ArrayList<>();
    for (Unit unit : BY_NAME.values()) {
      if (unit.dimension == dimension && !units.contains(unit)) {
        units.add(unit);
      }
    }
    return Collections.unmodifiableList(units);
  }

  /** SI value of a number in this unit. */
  public double toSi(double number) {
    return number * factor + offset;
  }

  /** Number in this unit of an SI value. */
  public double fromSi(double si) {
    return (si - offset) / factor;
  }

  private static String symbols(List<Dimension> dimensions) {
    return dimensions.stream()
        .flatMap(dimension -> of(dimension).stream())
        .map(Unit::symbol)
        .collect(Collectors.joining(", "));
  }

  private static Unit unit(
      String code, String symbol, Dimension dimension, double factor, String... otherNames) {
    return shifted(code, symbol, dimension, factor, 0, otherNames);
  }

  private static Unit shifted(
      String code,
      String symbol,
      Dimension dimension,
      double factor,
      double offset,
      String... otherNames) {
    Unit unit = new Unit(code, symbol, dimension, factor, offset);
    BY_NAME.put(code, unit);
    BY_NAME.putIfAbsent(symbol, unit);
    for (String name : otherNames) {
      BY_NAME.putIfAbsent(name, unit);
    }
    return unit;
  }

  /** As written; else, from three letters on, whatever the case (but never mPa for MPa). */
  private static Unit lookUp(String name) {
    String text = name.strip().replace(" ", "");
    Unit unit = BY_NAME.get(text);
    if (unit != null || text.length() < 3 || text.equalsIgnoreCase("mpa")) {
      return unit;
    }
    return BY_NAME.entrySet().stream()
        .filter(entry -> entry.getKey().equalsIgnoreCase(text))
        .map(Map.Entry::getValue)
        .findFirst()
        .orElse(null);
  }
}
