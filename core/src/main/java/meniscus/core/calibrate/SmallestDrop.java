package meniscus.core.calibrate;

import meniscus.core.bench.Bench;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.bench.Zero;

/**
 * Drop below which a plate misleads: there the zero's uncertainty counts more than the plate, and a
 * zero that has moved bends the curve before anything else does.
 *
 * @param pascal least drop [Pa]; 0 where the zero is exact
 */
public record SmallestDrop(double pascal) {

  /**
   * Times the zero's standard uncertainty. A zero that is off by twice that then moves the flow by
   * 2.5 %. In a trial with readings of 14 to 40 times the truth lay outside the stated interval in
   * up to a sixth of the benches with a wrong zero; without them in a twentieth.
   */
  private static final double TIMES = 40;

  /** Of the gauge that reads the drop, as it was zeroed or is read. */
  public static SmallestDrop of(Bench bench, Range range, PointMeans means) {
    Zero zero = bench.zero(range.drop());
    boolean byEye = means.dropHalfSwingPa().isPresent() && zero.equals(Zero.NONE);
    double u =
        byEye ? range.drop().accuracy().quantumSi() / Math.sqrt(12) : zero.standardUncertaintySi();
    return new SmallestDrop(TIMES * u);
  }

  public boolean allows(double dropPa) {
    return dropPa >= pascal;
  }

  /**
   * Bore of a plate that would just do at the same test pressure [m]: flow goes with the square of
   * the bore and with a power of the drop.
   *
   * @param ratio of the plate that does not
   */
  double boreM(CorrectionRatio ratio) {
    double times = pascal / ratio.means().dropPa();
    return ratio.plate().orifice().boreM() * Math.pow(times, -ratio.slopes().perLnDrop() / 2);
  }
}
