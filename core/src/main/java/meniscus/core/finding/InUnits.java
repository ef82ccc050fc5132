package meniscus.core.finding;

import java.util.List;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Digits;
import meniscus.core.quantity.Text;
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
    return listed(numbers) + " " + units.lift().symbol();
  }

  /** {@code 181.2 cfm}, with as many decimals as show two digits of the uncertainty. */
  public String flow(double flowM3PerS, double uncertaintyM3PerS) {
    return flowNumber(flowM3PerS, uncertaintyM3PerS) + " " + units.flow().symbol();
  }

  /** The number of {@link #flow} alone. */
  public String flowNumber(double flowM3PerS, double uncertaintyM3PerS) {
    double u = uncertaintyM3PerS / units.flow().factor();
    return number(units.flow().fromSi(flowM3PerS), Digits.decimals(u));
  }

  /** {@code 28.0 inH2O}. */
  public String pressure(double pressurePa) {
    double number = units.pressure().fromSi(pressurePa);
    return number(number, Math.abs(number) < 100 ? 1 : 0) + " " + units.pressure().symbol();
  }

  /** {@code 84.2 m/s (276 ft/s)}; for inch people {@code 276 ft/s (84.2 m/s)}. */
  public String velocity(double metresPerSecond) {
    String metric = number(metresPerSecond, 1) + " m/s";
    String feet = number(Unit.FOOT_PER_SECOND.fromSi(metresPerSecond), 0) + " ft/s";
    return inch() ? feet + " (" + metric + ")" : metric + " (" + feet + ")";
  }

  /** {@code 84.2 ± 1.1 m/s}, in the unit that the reader thinks in. */
  public String velocity(double metresPerSecond, double uncertainty) {
    Unit unit = inch() ? Unit.FOOT_PER_SECOND : Unit.METRE_PER_SECOND;
    double u = uncertainty / unit.factor();
    return Digits.value(unit.fromSi(metresPerSecond), u)
        + " ± "
        + Digits.uncertainty(u)
        + " "
        + unit.symbol();
  }

  private boolean inch() {
    return units.lift() == Unit.INCH_LENGTH;
  }

  /** {@code -6.4 %}, with its sign. */
  public static String signedPercent(double share) {
    return Text.of("%+.1f %%", 100 * share);
  }

  /** {@code +2.13 %} beside an uncertainty of 0.85 %, all as shares. */
  public static String signedPercent(double share, double uncertainty) {
    return Digits.signed(100 * share, 100 * uncertainty) + " %";
  }

  /** {@code 0.85 %}: an uncertainty, with two digits. */
  public static String half(double uncertainty) {
    return Digits.uncertainty(100 * uncertainty) + " %";
  }

  /** {@code 2.00–4.00 and 8.00 mm}: stretches of neighbouring lifts, each given by its lifts. */
  public String spans(List<List<Double>> stretchesM) {
    List<String> texts =
        stretchesM.stream()
            .map(
                s -> {
                  String low = number(units.lift().fromSi(s.get(0)), liftDecimals());
                  String high = number(units.lift().fromSi(s.get(s.size() - 1)), liftDecimals());
                  return low.equals(high) ? low : low + "–" + high;
                })
            .toList();
    return listed(texts) + " " + units.lift().symbol();
  }

  private static String listed(List<String> texts) {
    int last = texts.size() - 1;
    return last < 1
        ? String.join("", texts)
        : String.join(", ", texts.subList(0, last)) + " and " + texts.get(last);
  }

  /** {@code 0.9 %}, without a sign. */
  public static String percent(double share) {
    double percent = 100 * Math.abs(share);
    return number(percent, percent < 0.1 ? 2 : 1) + " %";
  }

  public static String number(double value, int decimals) {
    return Text.of("%." + decimals + "f", value);
  }

  private int liftDecimals() {
    return units.lift().factor() > 0.01 ? 3 : 2;
  }
}
