package meniscus.core.pipeline;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.LoudTenth;
import meniscus.core.steadiness.Band;
import meniscus.core.steadiness.BandLevels;

/** The fast channel's levels, tenth of a second by tenth, of the rungs that a test keeps. */
final class LoudSeries implements BandLevels.Tenths {

  /** Two hours of open rungs: some three megabytes on the disk. Our own choice. */
  static final int MOST = 72_000;

  /** A level of a tenth of a second scatters by a tenth of itself and more. */
  private static final MathContext FOUR_DIGITS = new MathContext(4);

  private record Attempt(int rung, int attempt) {}

  private final Map<Attempt, List<LoudTenth>> kept = new HashMap<>();
  private List<LoudTenth> open = new ArrayList<>();
  private int rung;
  private int size;

  /** A rung is opened; what one before it showed and was not kept is dropped. */
  void begun(int number) {
    size -= open.size();
    open = new ArrayList<>();
    rung = number;
  }

  @Override
  public void level(long tenth, double[] rms) {
    if (size < MOST) {
      size++;
      open.add(
          new LoudTenth(
              rung,
              tenth,
              rounded(rms[Band.LOW.ordinal()]),
              rounded(rms[Band.MIDDLE.ordinal()]),
              rounded(rms[Band.HIGH.ordinal()])));
    }
  }

  void kept(int attempt) {
    kept.put(new Attempt(rung, attempt), open);
    open = new ArrayList<>();
  }

  /** Of the points that stand, in their order. */
  List<LoudTenth> of(List<LiftPoint> points) {
    List<LoudTenth> all = new ArrayList<>();
    for (LiftPoint point : points) {
      all.addAll(kept.getOrDefault(new Attempt(point.rung(), point.attempt()), List.of()));
    }
    return all;
  }

  private static double rounded(double pascals) {
    return Double.isFinite(pascals)
        ? new BigDecimal(pascals).round(FOUR_DIGITS).doubleValue()
        : Double.NaN;
  }
}
