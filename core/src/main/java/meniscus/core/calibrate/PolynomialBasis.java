package meniscus.core.calibrate;

/**
 * The functions that a fitted curve is a sum of: powers of x.
 *
 * @param lowestPower 0, or 1 for a curve through the origin
 * @param highestPower 1 for a straight line
 */
public record PolynomialBasis(int lowestPower, int highestPower) {

  public PolynomialBasis {
    if (lowestPower < 0 || highestPower < lowestPower || highestPower > 6) {
      throw new IllegalArgumentException(
          "a fitted curve has powers from "
              + lowestPower
              + " to "
              + highestPower
              + ": they must rise from 0 or more to 6 at most");
    }
  }

  /** 1, x, … x^degree. */
  public static PolynomialBasis polynomial(int degree) {
    return new PolynomialBasis(0, degree);
  }

  /** x alone. */
  public static PolynomialBasis lineThroughOrigin() {
    return new PolynomialBasis(1, 1);
  }

  public int size() {
    return highestPower - lowestPower + 1;
  }

  double[] values(double x) {
    double[] values = new double[size()];
    double power = Math.pow(x, lowestPower);
    for (int k = 0; k < values.length; k++) {
      values[k] = power;
      power *= x;
    }
    return values;
  }

  double[] slopes(double x) {
    double[] slopes = new double[size()];
    for (int k = 0; k < slopes.length; k++) {
      int power = lowestPower + k;
      slopes[k] = power == 0 ? 0 : power * Math.pow(x, power - 1);
    }
    return slopes;
  }
}
