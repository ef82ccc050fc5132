package meniscus.recorder.page.bench;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;
import meniscus.core.quantity.Unit;
import meniscus.recorder.json.JsonOut;

/**
 * One channel while the bench is listened to: its mean since it was last shown, how it has moved,
 * and whether its gauge is near its end.
 */
public final class ChannelMean {

  /** How far back drift is looked for, and how often a mean is noted for it [s]. */
  private static final double DRIFT_SECONDS = 300;

  private static final double NOTED_EVERY_SECONDS = 5;

  /** Less than this of drift cannot be told from noise yet [s]. */
  private static final double ENOUGH_SECONDS = 60;

  /** A gauge rests when it drifts by less than this share of its limits (our own choice). */
  private static final double RESTS = 0.25;

  /** Slow instruments send every few seconds; after this long one is missed (our own choice). */
  private static final double SILENT_SECONDS = 8;

  final int instrument;
  private final String key;
  private final Unit unit;
  private final Optional<Use> use;
  private final Deque<double[]> noted = new ArrayDeque<>();
  private double sum;
  private int count;
  private boolean overRange;
  private double first = Double.NaN;
  private double mean = Double.NaN;
  private double heardAt = Double.NaN;

  /** What the bench reads from the channel, and with which gauge. */
  private record Use(String word, Source.Measured gauge) {}

  public ChannelMean(Bench bench, int instrument, Channel channel) {
    this.instrument = instrument;
    this.key = bench.instruments().get(instrument).id() + "." + channel.name();
    this.unit = channel.unit();
    this.use = use(bench, key);
  }

  private static Optional<Use> use(Bench bench, String key) {
    for (var entry : bench.channels().entrySet()) {
      if (entry.getValue() instanceof Source.Measured gauge && gauge.key().equals(key)) {
        return Optional.of(new Use(entry.getKey().word(), gauge));
      }
    }
    return bench.ranges().stream()
        .map(Range::drop)
        .filter(drop -> drop.key().equals(key))
        .findFirst()
        .map(drop -> new Use("element_drop", drop));
  }

  public void add(double si) {
    if (si == Frame.OVERLOAD) {
      overRange = true;
    } else if (!Double.isNaN(si)) {
      sum += si;
      count++;
      overRange |=
          use.map(one -> si >= one.gauge().highSi() || si <= one.gauge().lowSi()).orElse(false);
    }
  }

  /** Tells what was heard since this was last called. */
  public void addTo(ObjectNode json, double nowSeconds) {
    if (count > 0 || overRange) {
      heardAt = nowSeconds;
    }
    if (count > 0) {
      mean = sum / count;
      first = Double.isNaN(first) ? mean : first;
      note(nowSeconds);
    } else if (overRange) {
      mean = Double.NaN;
    }
    json.put("name", key).put("unit", unit.symbol());
    json.put("use", use.map(Use::word).orElse(null));
    json.put("inverted", use.map(one -> one.gauge().inverted()).orElse(false));
    JsonOut.put(json, "mean", mean, unit);
    JsonOut.put(json, "moved", unit.fromSi(mean) - unit.fromSi(first), 1);
    use.ifPresent(
        one -> {
          JsonOut.put(json, "low", one.gauge().lowSi(), unit);
          JsonOut.put(json, "high", one.gauge().highSi(), unit);
          drift(json, one.gauge());
        });
    JsonOut.put(json, "quiet_s", nowSeconds - heardAt, 1);
    json.put("alive", nowSeconds - heardAt < SILENT_SECONDS);
    json.put("readings", count).put("over_range", overRange);
    sum = 0;
    count = 0;
    overRange = false;
  }

  private void note(double now) {
    if (noted.isEmpty() || now - noted.peekLast()[0] >= NOTED_EVERY_SECONDS) {
      noted.addLast(new double[] {now, mean});
      while (now - noted.peekFirst()[0] > DRIFT_SECONDS) {
        noted.removeFirst();
      }
    }
  }

  private void drift(ObjectNode json, Source.Measured gauge) {
    if (noted.isEmpty()) {
      return;
    }
    double seconds = noted.peekLast()[0] - noted.peekFirst()[0];
    double drift = noted.peekLast()[1] - noted.peekFirst()[1];
    json.put("drift_s", Math.round(seconds));
    JsonOut.put(json, "drift", unit.fromSi(mean) - unit.fromSi(mean - drift), 1);
    if (seconds >= ENOUGH_SECONDS) {
      json.put("rests", Math.abs(drift) < RESTS * gauge.accuracy().halfWidthSi(mean));
    }
  }
}
