package meniscus.core.flow;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.air.AirState;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/** The limits of use of ISO 5167-2:2003, 5.3.1, each named when it is broken. */
final class PlateLimits {

  // As above; the pressure ratio is that of the expansibility factor.
  private static final double LEAST_BORE_M = 0.0125;
  private static final double LEAST_PIPE_M = 0.050;
  private static final double MOST_PIPE_M = 1.0;
  private static final double LEAST_RATIO = 0.1;
  private static final double MOST_RATIO = 0.75;
  private static final double LEAST_PRESSURE_RATIO = 0.75;

  /** Our own mark: below it the Reynolds-number term is more than 2 % of C. */
  private static final double LEAST_ROOM_REYNOLDS = 10_000;

  private PlateLimits() {}

  static void checkDrop(double dropPa, double upstreamPa) {
    if (dropPa < 0) {
      throw new Refusal(
          Text.of("the drop across the plate is negative (%s Pa): are the hoses swapped?", dropPa));
    }
    if (!(dropPa > 0)) {
      throw new Refusal(
          Text.of("the drop across the plate is %s Pa: without a drop there is no flow", dropPa));
    }
    if (dropPa >= upstreamPa) {
      throw new Refusal(
          Text.of(
              "the drop across the plate (%.1f Pa) is not below the absolute pressure upstream"
                  + " (%.1f Pa): is the upstream pressure absolute?",
              dropPa, upstreamPa));
    }
  }

  /** That a plate between two large rooms is none of the standard's; none in a pipe. */
  static List<String> kind(OrificePlate plate, double boreReynolds) {
    return plate.isExtrapolation()
        ? List.of(
            Text.of(
                "plate between two large rooms: outside ISO 5167-2, its equation extrapolated to a"
                    + " bore ratio of 0; discharge coefficient good to %.1f %% (95 %%, own"
                    + " estimate)",
                100 * plate.coefficientU95(boreReynolds)))
        : List.of();
  }

  /** Each limit of use that is broken. */
  static List<String> broken(
      OrificePlate plate, AirState upstream, double dropPa, double boreReynolds) {
    List<String> remarks = new ArrayList<>();
    if (plate.isExtrapolation()) {
      if (boreReynolds < LEAST_ROOM_REYNOLDS) {
        remarks.add(
            Text.of(
                "bore Reynolds number %.0f is below 10000, where the coefficient changes fast: use"
                    + " a smaller plate",
                boreReynolds));
      }
      bore(plate, remarks);
    } else {
      remarks.addAll(ofShape(plate));
      reynolds(plate, boreReynolds * plate.ratio(), remarks);
    }
    if (1 - dropPa / upstream.pressurePa() < LEAST_PRESSURE_RATIO) {
      remarks.add(
          Text.of(
              "pressure ratio %.3f is below 0.75 (ISO 5167-2): the expansibility factor is not"
                  + " proven",
              1 - dropPa / upstream.pressurePa()));
    }
    return List.copyOf(remarks);
  }

  private static void bore(OrificePlate plate, List<String> remarks) {
    if (plate.boreM() < LEAST_BORE_M) {
      remarks.add(Text.of("bore %.2f mm is below 12.5 mm (ISO 5167-2)", plate.boreM() * 1000));
    }
  }

  /** Those that a plate in a pipe breaks whatever flows. */
  static List<String> ofShape(OrificePlate plate) {
    List<String> remarks = new ArrayList<>();
    bore(plate, remarks);
    double ratio = plate.ratio();
    if (plate.pipeM() < LEAST_PIPE_M || plate.pipeM() > MOST_PIPE_M) {
      remarks.add(
          Text.of("pipe %.1f mm is outside 50 to 1000 mm (ISO 5167-2)", plate.pipeM() * 1000));
    }
    if (ratio < LEAST_RATIO || ratio > MOST_RATIO) {
      remarks.add(Text.of("bore ratio %.3f is outside 0.1 to 0.75 (ISO 5167-2)", ratio));
    }
    return remarks;
  }

  private static void reynolds(OrificePlate plate, double reynolds, List<String> remarks) {
    double least = plate.leastReynolds();
    if (reynolds < least) {
      remarks.add(
          Text.of(
              "pipe Reynolds number %.0f is below %.0f, the least for this plate (ISO 5167-2)",
              reynolds, least));
    }
  }
}
