package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import meniscus.core.settle.Blocks;

/**
 * The bench's own fluctuation, from runs on orifice plates: what a port's fluctuation is judged
 * against and what makes averages short. Relative to the mean flow; interpolated over flow.
 */
public final class CalmRecord {

  private static final double SAME_CLOCK = 0.05;

  private final List<CalmRun> runs;
  private final double readingSeconds;
  private final Map<Long, CalmModel> models = new HashMap<>();
  private final Map<List<CalmRun>, CalmRecord> narrower = new HashMap<>();

  private CalmRecord(List<CalmRun> runs) {
    this.runs = List.copyOf(runs);
    readingSeconds = readingSeconds(runs);
  }

  /**
   * @param runs at least one; each some tens of seconds long
   */
  public static CalmRecord of(List<CalmRun> runs) {
    if (runs.isEmpty()) {
      throw new IllegalArgumentException("a calm record needs at least one run on a plate");
    }
    return new CalmRecord(runs);
  }

  public List<CalmRun> runs() {
    return runs;
  }

  /**
   * The runs of one range, direction and test pressure. What no run was taken at is left open
   * rather than answered with nothing: first the pressure, then the range, then the direction.
   */
  public synchronized CalmRecord at(String range, String direction, double testPressurePa) {
    List<CalmRun> left = narrowed(runs, run -> run.direction().equals(direction));
    left = narrowed(left, run -> run.range().equals(range));
    left = narrowed(left, run -> Math.abs(run.testPressurePa() / testPressurePa - 1) < 0.1);
    return left.size() == runs.size() ? this : narrower.computeIfAbsent(left, CalmRecord::new);
  }

  private static List<CalmRun> narrowed(List<CalmRun> runs, Predicate<CalmRun> fits) {
    List<CalmRun> left = new ArrayList<>(runs);
    left.removeIf(fits.negate());
    return left.isEmpty() ? runs : left;
  }

  /**
   * Works out beforehand what a judge will ask for: some seconds of work, better done before a test
   * than at its first lift point.
   *
   * @param readingSeconds typical time between readings [s]
   * @param stabilitySeconds settled time that a verdict needs [s]
   */
  public void prepare(double readingSeconds, double stabilitySeconds) {
    for (double shortest : new double[] {Blocks.SHORTEST_SECONDS, SignalJudge.FINE_SECONDS}) {
      Blocks blocks = new Blocks(shortest, 128);
      for (int i = 0; i < 32; i++) {
        blocks.add(i * readingSeconds, 0);
      }
      CalmModel model = model(blocks.seconds(), blocks.perBlock());
      int count = (int) (stabilitySeconds / blocks.seconds() + 1e-6);
      if (shortest == SignalJudge.FINE_SECONDS && model.points(count) > 0) {
        model.jumps(model.points(count));
      } else if (model.stretch(count) > 0) {
        model.limits(model.stretch(count));
      }
    }
  }

  /**
   * The record seen through blocks of one length. Learning it takes long, so lengths that differ by
   * no more than the jitter of a sample clock share one: that of as many readings of the calm runs.
   */
  synchronized CalmModel model(double blockSeconds, int readings) {
    double own = readings * readingSeconds;
    double grain = Math.pow(10, Math.floor(Math.log10(blockSeconds)) - 2);
    double rounded =
        Math.abs(blockSeconds / own - 1) < SAME_CLOCK
            ? own
            : Math.round(blockSeconds / grain) * grain;
    long key = Math.round(rounded * 1e6) * 65536 + Math.min(readings, 65535);
    return models.computeIfAbsent(key, k -> CalmModel.learned(runs, rounded, readings));
  }

  /** Median time between the readings of the calm runs [s]; NaN when they have but one. */
  private static double readingSeconds(List<CalmRun> runs) {
    double[] steps =
        runs.stream()
            .map(CalmRun::seconds)
            .filter(t -> t.length > 1)
            .mapToDouble(t -> (t[t.length - 1] - t[0]) / (t.length - 1))
            .sorted()
            .toArray();
    return steps.length == 0 ? Double.NaN : steps[steps.length / 2];
  }
}
