package meniscus.core.pipeline;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.Beside;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Band;
import meniscus.core.steadiness.BandLevels;
import meniscus.core.steadiness.CalmRecord;
import meniscus.core.uncertainty.Coverage;

/**
 * What is measured beside the flow while a rung is open: the fast channel in bands, the probe, and
 * the mean of every channel that the bench file gives no use. None of it moves a flow.
 */
final class SideChannels {

  /** A mean's scatter is that of seconds, not of readings, which follow each other [s]. */
  private static final double BATCH_S = 1;

  private static final int FEWEST_BATCHES = 4; // three degrees of freedom: our own choice

  /** A channel without a use. */
  private record Extra(int instrument, int column, String name, Unit unit) {}

  private final List<Extra> extras = new ArrayList<>();
  private final Optional<Use> fast;
  private final Optional<Wiring.ChannelInput> fluctuation;
  private final Optional<Wiring.ChannelInput> probe;
  private BandLevels.Tenths tenths = BandLevels.Tenths.NONE;
  private BandLevels bands = new BandLevels();
  private Batches probed = new Batches();
  private Batches[] means = {};

  SideChannels(Bench bench, Wiring wiring, List<List<Channel>> channels) {
    this.fast = bench.fastUse().filter(wiring.taps()::containsKey);
    this.fluctuation = fast.map(wiring.taps()::get);
    this.probe = Optional.ofNullable(wiring.taps().get(Use.PROBE));
    Set<String> used = used(bench);
    for (int i = 0; i < channels.size(); i++) {
      String id = bench.instruments().get(i).id();
      for (int c = 0; c < channels.get(i).size(); c++) {
        Channel channel = channels.get(i).get(c);
        String name = id + "." + channel.name();
        boolean none =
            !used.contains(name)
                && !channel.name().equals(Channel.SAMPLE_INDEX)
                && !channel.name().endsWith(Channel.HALF_SWING);
        if (none) {
          extras.add(new Extra(i, c, name, Unit.si(channel.unit().dimension())));
        }
      }
    }
    begin();
  }

  /** Channels with a use, in this range or another one. */
  private static Set<String> used(Bench bench) {
    Set<String> used = new HashSet<>();
    for (Source source : bench.channels().values()) {
      source.fold(gauge -> used.add(name(gauge)), typed -> false);
    }
    for (Range range : bench.ranges()) {
      used.add(name(range.drop()));
    }
    return used;
  }

  private static String name(Source.Measured gauge) {
    return gauge.instrument() + "." + gauge.channel();
  }

  /** What the fast channel is used for, where it is read. */
  Optional<Use> fast() {
    return fast;
  }

  /** Who is shown the fast channel's levels, tenth of a second by tenth, of rungs from here on. */
  void tenths(BandLevels.Tenths shown) {
    tenths = shown;
  }

  /** A rung is opened. */
  void begin() {
    bands = new BandLevels(tenths);
    probed = new Batches();
    means = new Batches[extras.size()];
    for (int i = 0; i < means.length; i++) {
      means[i] = new Batches();
    }
  }

  /**
   * A frame of an open rung.
   *
   * @param fluctuationS when its reading of the fast channel was taken, where it has one [s]
   */
  void accept(Frame frame, double fluctuationS) {
    double[] values = frame.valuesSi();
    if (fluctuation.isPresent() && fluctuation.get().feeds(frame)) {
      Wiring.ChannelInput tap = fluctuation.get();
      bands.sample(fluctuationS, tap.quantity(values[tap.column()]));
    }
    double seconds = frame.moment().seconds();
    if (probe.isPresent() && probe.get().feeds(frame)) {
      probed.add(seconds, probe.get().quantity(values[probe.get().column()]));
    }
    for (int i = 0; i < means.length; i++) {
      Extra extra = extras.get(i);
      if (extra.instrument() == frame.instrument()) {
        means[i].add(seconds, values[extra.column()]);
      }
    }
  }

  /**
   * What the open rung showed so far; the probe still as a pressure.
   *
   * @param areaM2 mean effective area of the rung [m²]
   * @param calm the bench's calm record, which tells how loud a channel that stays on the bench is
   *     with a plate in the port's place
   */
  List<Beside> besides(double areaM2, Optional<CalmRecord> calm) {
    List<Beside> all = new ArrayList<>();
    if (fluctuation.isPresent()) {
      for (Band band : Band.values()) {
        Optional<BandLevels.Level> here = bands.level(band);
        here.ifPresent(level -> all.add(level(band.word(), level)));
        if (here.isPresent() && fast.equals(Optional.of(Use.FLUCTUATION_ON_BENCH))) {
          calm.flatMap(record -> record.loud(band, areaM2))
              .ifPresent(level -> all.add(level(band.wordOnPlates(), level)));
        }
      }
    }
    if (probe.isPresent()) {
      probed.mean(Beside.PROBE_VELOCITY, Unit.PASCAL).ifPresent(all::add);
    }
    for (int i = 0; i < means.length; i++) {
      means[i].mean(extras.get(i).name(), extras.get(i).unit()).ifPresent(all::add);
    }
    return all;
  }

  private static Beside level(String name, BandLevels.Level level) {
    return new Beside(
        name,
        Unit.PASCAL,
        level.rms(),
        OptionalDouble.of(Coverage.NORMAL_95 * level.standardUncertainty()));
  }

  /** The mean of a channel, and the scatter of its means over a second. */
  private static final class Batches {
    private double beganS = Double.NaN;
    private double batch;
    private long inBatch;
    private double sum;
    private long count;
    private double batchSum;
    private double batchSquares;
    private int batches;

    void add(double seconds, double value) {
      if (!Double.isFinite(value)) {
        return;
      }
      if (Double.isNaN(beganS)) {
        beganS = seconds;
      }
      if (seconds - beganS >= BATCH_S && inBatch > 0) {
        double mean = batch / inBatch;
        batchSum += mean;
        batchSquares += mean * mean;
        batches++;
        batch = 0;
        inBatch = 0;
        beganS = seconds;
      }
      batch += value;
      inBatch++;
      sum += value;
      count++;
    }

    Optional<Beside> mean(String name, Unit unit) {
      if (count == 0) {
        return Optional.empty();
      }
      OptionalDouble u95 = OptionalDouble.empty();
      if (batches >= FEWEST_BATCHES) {
        double variance = Math.max(0, batchSquares - batchSum * batchSum / batches) / (batches - 1);
        u95 = OptionalDouble.of(Coverage.factor95(batches - 1) * Math.sqrt(variance / batches));
      }
      return Optional.of(new Beside(name, unit, sum / count, u95));
    }
  }
}
