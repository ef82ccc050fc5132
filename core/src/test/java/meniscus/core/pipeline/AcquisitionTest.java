package meniscus.core.pipeline;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import meniscus.core.air.AirState;
import meniscus.core.air.Barometer;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;

class AcquisitionTest {

  private static final double AIM_PA = 7000;

  // ------------------------------------------------------------------ bytes → frames

  /** Lines of two numbers; anything else is rejected. */
  private static final class TwoNumbers implements Decoder {
    private final StringBuilder line = new StringBuilder();

    @Override
    public Next opened(Moment at) {
      return Next.NOTHING;
    }

    @Override
    public Next bytes(Moment at, ByteBuffer bytes, Sink sink) {
      while (bytes.hasRemaining()) {
        char next = (char) (bytes.get() & 0xff);
        if (next != '\n') {
          line.append(next);
          continue;
        }
        take(line.toString(), at, sink);
        line.setLength(0);
      }
      return Next.NOTHING;
    }

    private void take(String text, Moment at, Sink sink) {
      String[] words = text.split(" ");
      if (words.length != 2) {
        sink.rejected(new Rejected(at, text, "not two numbers"));
        return;
      }
      for (int channel = 0; channel < 2; channel++) {
        sink.reading(
            channel,
            words[channel].equals("OL") ? Double.NaN : Double.parseDouble(words[channel]),
            at);
      }
      sink.frame(at);
    }

    @Override
    public Next tick(Moment at, Sink sink) {
      return Next.NOTHING;
    }

    @Override
    public void lost(Moment at) {
      line.setLength(0);
    }
  }

  @Test
  void anyCutOfTheBytesGivesTheSameFramesAndTheSameMean() {
    StringBuilder text = new StringBuilder();
    Random noise = new Random(7);
    for (int i = 0; i < 300; i++) {
      text.append(String.format(Locale.ROOT, "%.2f %.2f\n", AIM_PA, 900 + noise.nextGaussian()));
      if (i % 40 == 7) {
        text.append("!#\n");
      }
      if (i % 90 == 11) {
        text.append("7000.00 OL\n");
      }
    }
    byte[] bytes = text.toString().getBytes(StandardCharsets.US_ASCII);
    String whole = fold(bytes, List.of());
    for (long seed = 1; seed <= 8; seed++) {
      Random random = new Random(seed);
      List<Integer> cuts = new ArrayList<>();
      for (int i = 0; i < 200; i++) {
        cuts.add(random.nextInt(bytes.length));
      }
      assertEquals(whole, fold(bytes, cuts.stream().sorted().toList()), "seed " + seed);
    }
  }

  /** All that comes out; a byte arrives at its own moment, wherever the stream is cut. */
  private static String fold(byte[] bytes, List<Integer> cuts) {
    HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan);
    Acquisition acquisition = bench.newAcquisition();
    acquisition.begin(Moment.START);
    StringBuilder out = new StringBuilder();
    FrameDecoder tap =
        new FrameDecoder(
            0,
            HandFedBench.CHANNELS.get(0),
            new TwoNumbers(),
            frame -> {
              out.append(java.util.Arrays.toString(frame.valuesSi())).append('\n');
              acquisition.accept(frame);
            },
            rejected -> out.append(rejected.reason()).append('\n'));
    tap.opened(Moment.START);
    int from = 0;
    List<Integer> ends = new ArrayList<>(cuts);
    ends.add(bytes.length);
    for (int end : ends) {
      // Whole lines keep their moment: a chunk is handed over line by line in time.
      int at = from;
      while (at < end) {
        int stop = at;
        while (stop < end && bytes[stop] != '\n') {
          stop++;
        }
        stop = Math.min(end, stop + 1);
        tap.bytes(lineMoment(bytes, stop), ByteBuffer.wrap(bytes, at, stop - at));
        at = stop;
      }
      from = Math.max(from, end);
    }
    return out.append(acquisition.window().orElseThrow().means()).toString();
  }

  private static Moment lineMoment(byte[] bytes, int upTo) {
    long lines = 0;
    for (int i = 0; i < upTo; i++) {
      lines += bytes[i] == '\n' ? 1 : 0;
    }
    return Moment.ofSeconds(0.05 * lines);
  }

  @Test
  void whatAFrameDoesNotHoldIsMissingAndWhatWasHalfReadIsForgottenWithTheLine() {
    List<Frame> frames = new ArrayList<>();
    Sink[] sink = new Sink[1];
    FrameDecoder tap =
        new FrameDecoder(
            0, HandFedBench.CHANNELS.get(0), new TwoNumbers(), frames::add, rejected -> {});
    sink[0] = tap;
    tap.frame(Moment.START);
    assertTrue(frames.isEmpty(), "a frame without any reading is none");
    tap.reading(0, 5, Moment.START);
    tap.lost(Moment.START);
    tap.reading(1, Double.NaN, Moment.START);
    tap.frame(Moment.START);

    assertTrue(Double.isNaN(frames.get(0).valuesSi()[0]));
    assertEquals(Frame.OVERLOAD, frames.get(0).valuesSi()[1]);
  }

  // ------------------------------------------------------------------ frames → flow

  @Test
  void twoInstrumentsOfDifferentRateAreBroughtToOneMomentByInterpolation() {
    // The test pressure rises evenly, read 4 times a second; the drop follows it exactly, read 50
    // times a second at other moments. Held instead of interpolated the area would be 0.9 % off.
    Acquisition acquisition = twoGauges();
    RungWindow window = null;
    for (int ms = 0; ms <= 20_000; ms++) {
      double pressure = 5000 + 0.1 * ms;
      Moment at = Moment.ofSeconds(ms * 1e-3);
      if (ms == 2000) {
        window = acquisition.begin(at);
      }
      if (ms % 250 == 0) {
        acquisition.accept(new Frame(0, at, new double[] {pressure}));
      }
      if (ms % 20 == 7) {
        acquisition.accept(new Frame(1, at, new double[] {0.1 * pressure}));
      }
    }
    PointMeans means = window.means().orElseThrow();
    assertEquals(0.1, means.dropPa() / means.testPressurePa(), 1e-9);
  }

  @Test
  void aDropOfTheVeryMomentOfAPressureIsPairedWithIt() {
    for (boolean pressureFirst : new boolean[] {true, false}) {
      Acquisition acquisition = twoGauges();
      RungWindow window = acquisition.begin(Moment.START);
      for (int i = 0; i < 400; i++) {
        Moment at = Moment.ofSeconds(i * 0.05);
        Frame pressure = new Frame(0, at, new double[] {AIM_PA + i});
        Frame drop = new Frame(1, at, new double[] {700 + i});
        acquisition.accept(pressureFirst ? pressure : drop);
        acquisition.accept(pressureFirst ? drop : pressure);
      }
      PointMeans means = window.means().orElseThrow();
      assertEquals(AIM_PA - 700, means.testPressurePa() - means.dropPa(), 1e-6);
    }
  }

  @Test
  void overloadedAndOutOfRangeReadingsGiveNoFlow() {
    for (double bad : new double[] {Frame.OVERLOAD, 10_000, 10_001, -100, -5000}) {
      HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan);
      Acquisition acquisition = bench.newAcquisition();
      RungWindow window = acquisition.begin(Moment.START);
      for (int i = 0; i < 400; i++) {
        double drop = i % 40 == 3 ? bad : 700 + 5 * Math.sin(i * i);
        acquisition.accept(new Frame(0, Moment.ofSeconds(i * 0.05), new double[] {AIM_PA, drop}));
      }
      assertEquals(700, window.means().orElseThrow().dropPa(), 2, "with " + bad);
      assertTrue(
          String.join(" ", window.judged().reasons()).contains("dropp"),
          "the judge was told of them: " + window.judged().reasons());
    }
  }

  @Test
  void aRungThatIsLeftOpenForHoursHasTheMeanOfAllItsReadings() {
    HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan);
    Acquisition acquisition = bench.newAcquisition();
    RungWindow window = acquisition.begin(Moment.START);
    Random noise = new Random(20320206);
    double[] drops = new double[3 * 3600 * 20];
    for (int i = 0; i < drops.length; i++) {
      drops[i] = 700 + 5 * noise.nextGaussian();
      acquisition.accept(new Frame(0, Moment.ofSeconds(i * 0.05), new double[] {AIM_PA, drops[i]}));
    }
    int from = (int) Math.round(window.judged().fromSeconds() / 0.05);
    double mean = Arrays.stream(drops, from, drops.length).average().orElseThrow();
    PointMeans means = window.means().orElseThrow();
    assertEquals(mean, means.dropPa(), 1e-3, "seed 20320206");
    assertEquals(3 * 3600, means.seconds(), 60);
  }

  @Test
  void nothingFlowsWhileTheTestPressureIsNotAboveZero() {
    HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan);
    Acquisition acquisition = bench.newAcquisition();
    RungWindow window = acquisition.begin(Moment.START);
    for (int i = 0; i < 400; i++) {
      acquisition.accept(new Frame(0, Moment.ofSeconds(i * 0.05), new double[] {-1, 0.1}));
    }
    assertTrue(window.means().isEmpty());
  }

  // ------------------------------------------------------------------ the air

  @Test
  void aSeaLevelBarometerIsTakenToThePressureAtTheBench() {
    double altitudeM = 1200;
    Site high = new Site(OptionalDouble.of(altitudeM), Site.Barometer.SEA_LEVEL, 50);
    PointMeans there = still(HandFedBench.bench(false, high), Direction.SUCTION);
    PointMeans here = still(HandFedBench.bench(false, Site.UNKNOWN), Direction.SUCTION);

    assertEquals(Barometer.stationPressure(100_000, altitudeM), there.room().pressurePa(), 1e-6);
    assertEquals(100_000, here.room().pressurePa(), 1e-6);
    assertEquals(
        1,
        there.effectiveAreaM2() / here.effectiveAreaM2(),
        0.01,
        "a ratio of two flows of the same air hardly minds its density");
  }

  @Test
  void blowingWithoutAThermometerInThePlenumIsMarked() {
    assertTrue(still(HandFedBench.bench(false, Site.UNKNOWN), Direction.BLOWING).air().assumed());
    assertFalse(still(HandFedBench.bench(false, Site.UNKNOWN), Direction.SUCTION).air().assumed());
    Map<Use, Source> channels = new EnumMap<>(HandFedBench.bench(false, Site.UNKNOWN).channels());
    channels.put(Use.PLENUM_TEMPERATURE, new Source.Typed(310, 1));
    PointMeans measured =
        still(
            with(HandFedBench.bench(false, Site.UNKNOWN), channels, Optional.empty()),
            Direction.BLOWING);

    assertFalse(measured.air().assumed());
    assertEquals(310, measured.air().plenumK(), 1e-9);
  }

  @Test
  void thePointSaysThatThePlenumsTemperatureWasAssumed() {
    HandFedBench bench = HandFedBench.withoutDial(true, plan -> plan);
    Acquisition acquisition = acquisition(bench.bench, Direction.BLOWING);
    RungWindow window = acquisition.begin(Moment.START);
    feedStill(acquisition);
    List<String> remarks =
        bench
            .newPointMaker()
            .point(window, HandFedBench.rung(1, 2), 1, AIM_PA, 1, Moment.START, List.of())
            .orElseThrow()
            .point()
            .remarkSentences();

    assertTrue(remarks.contains("no thermometer in the plenum: motor heat assumed"), "" + remarks);
  }

  // ------------------------------------------------------------------ the plenum

  @Test
  void thePlenumsTermTakesOutTheWanderThatBothPressuresShare() {
    double[] with = areasUnderWander(Optional.of(new Plenum(0.3, 0.01)));
    double[] without = areasUnderWander(Optional.empty());

    double ratio = variance(with) / variance(without);
    // The rate is taken over the last 0.1 s and so is late by half of it: what is left is about
    // (2 pi * 0.5 Hz * 0.05 s)^2 = 0.025.
    assertTrue(ratio < 0.04, "variance with the term over variance without: " + ratio);
  }

  /**
   * A plenum of 0.3 m³ whose pressure swings by 2 % at 0.5 Hz; the port's area stands still. What
   * passes the element is the port's flow plus what the plenum stores (first law, isentropic), so
   * the drop is worked out from that balance here, with κ and R of dry air.
   */
  private static double[] areasUnderWander(Optional<Plenum> plenum) {
    Bench bench = with(HandFedBench.bench(false, Site.UNKNOWN), null, plenum);
    Acquisition acquisition = acquisition(bench, Direction.SUCTION);
    List<Double> areas = new ArrayList<>();
    double areaM2 = 3e-4;
    double density = 100_000 / (287.05 * 295);
    for (int i = 0; i < 800; i++) {
      double t = i * 0.01;
      double omega = 2 * Math.PI * 0.5;
      double pressure = AIM_PA * (1 + 0.02 * Math.sin(omega * t));
      double rate = AIM_PA * 0.02 * omega * Math.cos(omega * t);
      double port = areaM2 * Math.sqrt(2 * density * pressure);
      double stored = 0.3 / (1.4 * 287.05 * 295) * rate;
      double through = port + stored;
      double drop = Math.pow(through / (0.6 * Math.PI / 4 * 0.0762 * 0.0762), 2) / (2 * density);
      Moment at = Moment.ofSeconds(t);
      if (i == 0) {
        acquisition.begin(at).show((seconds, area) -> areas.add(area));
      }
      acquisition.accept(new Frame(0, at, new double[] {pressure, drop}));
    }
    return areas.stream().mapToDouble(Double::doubleValue).skip(50).toArray();
  }

  private static double variance(double[] values) {
    double mean = java.util.Arrays.stream(values).average().orElseThrow();
    return java.util.Arrays.stream(values).map(value -> (value - mean) * (value - mean)).sum()
        / values.length;
  }

  // ------------------------------------------------------------------ small steps

  private static PointMeans still(Bench bench, Direction direction) {
    Acquisition acquisition = acquisition(bench, direction);
    RungWindow window = acquisition.begin(Moment.START);
    feedStill(acquisition);
    return window.means().orElseThrow();
  }

  private static void feedStill(Acquisition acquisition) {
    Random noise = new Random(3);
    for (int i = 0; i < 300; i++) {
      acquisition.accept(
          new Frame(
              0,
              Moment.ofSeconds(i * 0.05),
              new double[] {AIM_PA, 900 + 0.1 * noise.nextGaussian()}));
    }
  }

  private static Acquisition acquisition(Bench bench, Direction direction) {
    return acquisition(bench, direction, HandFedBench.CHANNELS);
  }

  private static Acquisition acquisition(
      Bench bench, Direction direction, List<List<Channel>> channels) {
    return Acquisition.of(
        bench,
        bench.ranges().get(0),
        SmallBench.ELEMENT,
        direction,
        channels,
        JudgeSettings.usual(),
        new ReferenceState(AirState.DRY_20C, AIM_PA));
  }

  private static Bench with(Bench bench, Map<Use, Source> channels, Optional<Plenum> plenum) {
    return new Bench(
        bench.identity(),
        bench.units(),
        bench.site(),
        bench.layout(),
        plenum,
        bench.instruments(),
        channels == null ? bench.channels() : channels,
        bench.ranges(),
        bench.upkeep());
  }

  /** Test pressure on one instrument, drop on another. */
  private static Acquisition twoGauges() {
    Bench bench = HandFedBench.bench(false, Site.UNKNOWN);
    Map<Use, Source> channels = new EnumMap<>(bench.channels());
    Bench two =
        new Bench(
            bench.identity(),
            bench.units(),
            bench.site(),
            bench.layout(),
            Optional.empty(),
            bench.instruments(),
            channels,
            List.of(
                new Range(
                    "main", SmallBench.ELEMENT, HandFedBench.gauge("dial", "drop", -100, 10_000))),
            bench.upkeep());
    return acquisition(
        two,
        Direction.SUCTION,
        List.of(
            List.of(new Channel("depression", Unit.PASCAL)),
            List.of(new Channel("drop", Unit.PASCAL))));
  }
}
