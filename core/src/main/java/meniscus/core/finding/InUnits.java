package meniscus.core.finding;

import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;

/** Writes numbers for people in the units of a plan. */
public record InUnits(Plan.Units units) {

  /** {@code 10.00 mm} or {@code 0.400 in}. */
  public String lift(double liftM) {
    return number(units.lift().fromSi(liftM), liftDecimals()) + " " + units.lift().symbol();
  }

  /** {@code 0.06 mm} or {@code 0.0024 in}: a lift that is off. */
  public String smallLift(double liftM) {
    return number(units.lift().fromSi(liftM), liftDecimals() + 1) + " " + units.lift().symbol();
  }

  /** {@code 8.00, 10.00 and 12.00 mm}. */
  public String lifts(List<Double> liftsM) {
    List<String> numbers =
        liftsM.stream().map(l -> number(units.lift().fromSi(l), liftDecimals())).toList();
    int last = numbers.size() - 1;
    return (last < 1
            ? String.join("", numbers)
            : numbers.subList(0, last).stream().collect(Collectors.joining(", "))
                + " and "
                + numbers.get(last))
        + " "
        + units.lift().symbol();
  }

  /** {@code 181.2 cfm}, one digit more than the uncertainty needs. */
  public String flow(double flowM3PerS, double uncertaintyM3PerS) {
    return flowNumber(flowM3PerS, uncertaintyM3PerS) + " " + units.flow().symbol();
  }

  /** The number of {@link #flow} alone. */
  public String flowNumber(double flowM3PerS, double uncertaintyM3PerS) {
    double u = uncertaintyM3PerS / units.flow().factor();
    return number(units.flow().fromSi(flowM3PerS), decimals(u));
  }

  /** {@code 28.0 inH2O}. */
  public String pressure(double pressurePa) {
    double number = units.pressure().fromSi(pressurePa);
    return number(number, Math.abs(number) < 100 ? 1 : 0) + " " + units.pressure().symbol();
  }

  /** {@code 84.2 m/s (276 ft/s)}. */
  public static String velocity(double metresPerSecond) {
    return number(metresPerSecond, 1)
        + " m/s ("
        + number(Unit.FOOT_PER_SECOND.fromSi(metresPerSecond), 0)
        + " ft/s)";
  }

  /** {@code -6.4 %}, with its sign. */
  public static String signedPercent(double share) {
    return String.format(Locale.ROOT, "%+.1f %%", 100 * share);
  }

  /** {@code 0.9 %}, without a sign. */
  public static String percent(double share) {
    double percent = 100 * Math.abs(share);
    return number(percent, percent < 0.1 ? 2 : 1) + " %";
  }

  public static String number(double value, int decimals) {
    return String.format(Locale.ROOT, "%." + decimals + "f", value);
  }

  private int liftDecimals() {
    return units.lift().factor() > 0.01 ? 3 : 2;
  }

  /** Decimals that show an uncertainty with two digits or so. */
  private static int decimals(double uncertainty) {
    if (!(uncertainty > 0) || !Double.isFinite(uncertainty)) {
      return 1;
    }
    return Math.max(0, Math.min(6, (int) Math.ceil(-Math.log10(uncertainty) + 0.7)));
  }
}
