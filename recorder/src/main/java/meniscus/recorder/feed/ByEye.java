package meniscus.recorder.feed;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;

/**
 * A gauge of a bench that a person reads.
 *
 * @param gauge with its limits
 * @param instrument its index in the bench
 * @param column of its readings in the instrument's frames
 * @param swing column of how far it swings to either side
 * @param channel as it is named when its reading is typed
 */
public record ByEye(Source.Measured gauge, int instrument, int column, int swing, Channel channel) {

  /** Those of some gauges that a person reads, in their order. */
  public static List<ByEye> among(
      List<Source.Measured> gauges, Bench bench, List<List<Channel>> channels) {
    List<ByEye> read = new ArrayList<>();
    for (Source.Measured gauge : gauges) {
      for (int i = 0; i < channels.size(); i++) {
        if (bench.instruments().get(i).id().equals(gauge.instrument())) {
          of(gauge, i, channels.get(i)).ifPresent(read::add);
        }
      }
    }
    return List.copyOf(read);
  }

  /** Those of test pressure and drop on one range that a person reads. */
  public static List<ByEye> pressures(Bench bench, Range range, List<List<Channel>> channels) {
    Source.Measured pressure = (Source.Measured) bench.source(Use.TEST_PRESSURE).orElseThrow();
    return among(List.of(pressure, range.drop()), bench, channels);
  }

  /** True when there is a range whose fluctuation can be seen. */
  public static boolean calmCanBeTaken(Bench bench, List<List<Channel>> channels) {
    return bench.ranges().stream().anyMatch(range -> pressures(bench, range, channels).isEmpty());
  }

  /** The same of a bench whose lines are not open. */
  public static boolean calmCanBeTaken(Bench bench, Path benchFile) {
    return calmCanBeTaken(bench, Feeds.channels(bench, benchFile));
  }

  private static Optional<ByEye> of(Source.Measured gauge, int instrument, List<Channel> channels) {
    List<String> names = channels.stream().map(Channel::name).toList();
    int column = names.indexOf(gauge.channel());
    int swing = names.indexOf(gauge.channel() + Channel.HALF_SWING);
    return column < 0 || swing < 0
        ? Optional.empty()
        : Optional.of(new ByEye(gauge, instrument, column, swing, channels.get(column)));
  }

  /** The channel that tells how far it swings, named as in {@link Source.Measured#key}. */
  public String swingKey() {
    return gauge.key() + Channel.HALF_SWING;
  }

  /** What a frame says of this gauge, as it was read [SI]; NaN when nothing. */
  double in(Frame frame) {
    return frame.instrument() == instrument ? frame.valuesSi()[column] : Double.NaN;
  }

  /** How far it swings to either side [SI]. */
  double swingIn(Frame frame) {
    return frame.valuesSi()[swing];
  }
}
