package meniscus.recorder.session;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import java.util.random.RandomGenerator;
import java.util.random.RandomGeneratorFactory;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;
import meniscus.core.time.Moment;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.BoundInstrument;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;

/**
 * The simulated bench with five dials more: eight instruments that all speak 2000 times a second,
 * by the clock on the wall or as fast as they are taken.
 */
public final class EightInstruments implements Feed {

  public static final int COUNT = 8;
  public static final int HERTZ = 2_000;

  private static final int STEP_NANOS = 1_000_000_000 / HERTZ;

  private final Bench bench;
  private final List<List<Channel>> channels;
  private final String[][] names;
  private final boolean paced;
  private final RandomGenerator random =
      RandomGeneratorFactory.of("Xoroshiro128PlusPlus").create(20311202);
  private volatile long start;
  private final AtomicLong handedOver = new AtomicLong();
  private long fingerprint;
  private int instrument;
  private Asked asked = Asked.NOTHING;

  /**
   * @param paced by the clock on the wall
   */
  public EightInstruments(Path benchFile, boolean paced) {
    this.bench = BenchFile.read(benchFile);
    this.channels =
        Feeds.wire(bench, benchFile, Drivers.shipped()).stream()
            .map(BoundInstrument::channels)
            .toList();
    this.names =
        channels.stream()
            .map(each -> each.stream().map(Channel::name).toArray(String[]::new))
            .toArray(String[][]::new);
    this.paced = paced;
    if (channels.size() != COUNT) {
      throw new IllegalArgumentException(benchFile + " has " + channels.size() + " instruments");
    }
  }

  /** Adds the five dials to a file of the simulated bench. */
  public static void addDials(Path benchFile) throws IOException {
    String dials = "";
    for (int i = 1; i <= 5; i++) {
      dials +=
          "{\"id\": \"more-"
              + i
              + "\", \"sheet\": \"dial-indicator\","
              + " \"line\": {\"kind\": \"simulated\", \"instrument\": \"dial-indicator\"}},";
    }
    String text = Files.readString(benchFile);
    Files.writeString(
        benchFile, text.replaceFirst("\"instruments\": \\[", "\"instruments\": [" + dials));
  }

  /** Readings handed over so far. */
  public long handedOver() {
    return handedOver.get();
  }

  /** All values handed over so far, in their order, in one number. */
  public long fingerprint() {
    return fingerprint;
  }

  /** A fingerprint with one more value at its end. */
  public static long with(double value, long fingerprint) {
    return 31 * fingerprint + Double.doubleToLongBits(value);
  }

  /** By how much what was taken is behind the clock on the wall [s]. */
  public double behindSeconds() {
    return (System.nanoTime() - start) * 1e-9 - now().seconds();
  }

  @Override
  public Bench bench() {
    return bench;
  }

  @Override
  public List<List<Channel>> channels() {
    return channels;
  }

  @Override
  public Optional<BenchEvent> next(double waitSeconds) throws InterruptedException {
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
    long number = handedOver.getPlain();
    if (number == 0) {
      start = System.nanoTime();
    }
    long tick = number / COUNT;
    if (paced && instrument == 0) {
      long ahead = tick * STEP_NANOS - (System.nanoTime() - start);
      if (ahead > 0) {
        LockSupport.parkNanos(ahead);
      }
    }
    Frame frame = new Frame(instrument, new Moment(tick * STEP_NANOS), values(instrument));
    instrument = (instrument + 1) % COUNT;
    handedOver.lazySet(number + 1);
    return Optional.of(new BenchEvent.Arrived(frame));
  }

  private double[] values(int of) {
    double[] values = new double[names[of].length];
    for (int i = 0; i < values.length; i++) {
      values[i] =
          switch (names[of][i]) {
            case "test_pressure" -> asked.testPressurePa() * (1 + 0.002 * random.nextGaussian());
            case "element_drop" ->
                asked.testPressurePa() * 0.2 * (1 + 0.005 * random.nextGaussian());
            case "lift" -> asked.liftM();
            case "temperature" -> 294;
            case "pressure" -> 99_800;
            default -> 0.45;
          };
      fingerprint = with(values[i], fingerprint);
    }
    return values;
  }

  @Override
  public Moment now() {
    return new Moment(handedOver.get() / COUNT * STEP_NANOS);
  }

  @Override
  public void asks(Asked wanted) {
    asked = wanted;
  }

  @Override
  public void close() {}
}
