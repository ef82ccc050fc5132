package meniscus.drivers.simulated;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;

/** The three instruments: their wire forms (docs/instrument-sheets.md) and their errors. */
class InstrumentsTest {

  private static final Scenario DEMO = Scenario.demo();
  private static final Scenario IDEAL = DEMO.without(Effect.values());
  private static final Pattern PRESSURES =
      Pattern.compile(
          "(P1,([+-]\\d{1,3}\\.\\d{3}|OVER),P2,([+-]\\d{1,3}\\.\\d{3}|OVER))\\*([0-9A-F]{2})\r\n");
  private static final Pattern LIFT_MM = Pattern.compile("L ([+-]\\d{1,3}\\.\\d{3}) mm\r");
  private static final Pattern LIFT_INCH = Pattern.compile("L ([+-]\\d{1,3}\\.\\d{4}) in\r");
  private static final Pattern AIR =
      Pattern.compile("(T=(-?\\d+\\.\\d\\d);P=(\\d+\\.\\d\\d);H=(\\d+\\.\\d))\\*([0-9A-F]{4})\r\n");

  @Test
  void everyLineOfTheManometerIsAsItsSheetSaysFiftyTimesASecond() {
    Stand stand = new Stand(DEMO, 1);
    stand.bench.blower(true);
    List<String> lines = stand.hear(SimulatedBench.MANOMETER, 20);
    assertTrue(lines.get(0).matches("#[ -~]*\r\n"), "a remark first");
    lines = lines.subList(1, lines.size());
    assertEquals(1000, lines.size(), 2);
    for (String line : lines) {
      Matcher matcher = matches(PRESSURES, line);
      int check = 0;
      for (byte each : matcher.group(1).getBytes(US_ASCII)) {
        check ^= each;
      }
      assertEquals(check, Integer.parseInt(matcher.group(4), 16), line);
    }
  }

  /** Examples of docs/instrument-sheets.md. */
  @Test
  void checksAreTheDocumentedOnes() {
    AsciiLine line = new AsciiLine();
    line.text("P1,").number(27.984, 3, true).text(",P2,").number(12.31, 3, true);
    assertEquals(0x2E, line.xor());
    assertEquals("P1,+27.984,P2,+12.310", new String(line.take(), US_ASCII));
    assertEquals(0x1C99, new AsciiLine().text("T=22.84;P=1008.62;H=41.3").crc());
    // Check value of CRC-16/XMODEM, as public checksum libraries state it.
    assertEquals(0x31C3, new AsciiLine().text("123456789").crc());
  }

  @Test
  void numbersAreRoundedWithTheirSign() {
    assertEquals("-0.013", number(-0.01251));
    assertEquals("+0.000", number(0.0004));
    assertEquals("+10.000", number(9.9999));
    assertEquals("-123.456", number(-123.456));
  }

  @Test
  void beyondItsRangeAChannelSaysOver() {
    Scenario demo = IDEAL.scaled(Effect.SETTLING, 0);
    Stand stand = new Stand(demo, 1);
    stand.bench.aimPressure(13_000);
    stand.bench.blower(true);
    stand.run(5);
    stand.forget();
    Matcher last = matches(PRESSURES, last(stand.hear(SimulatedBench.MANOMETER, 1)));
    assertEquals("OVER", last.group(2));
    assertNotEquals("OVER", last.group(3));
  }

  @Test
  void anIdealGaugeShowsTheTruthAndARealOneItsZeroAndGain() {
    Matcher ideal = pressuresAtRest(IDEAL, false);
    assertEquals(0, Double.parseDouble(ideal.group(2)));
    Matcher held = pressuresAtRest(IDEAL, true);
    assertEquals(28.000, Double.parseDouble(held.group(2)));

    // Offsets of 6.0 and -3.5 Pa are 0.02409 and -0.01405 inH2O.
    Matcher offset = pressuresAtRest(IDEAL.scaled(Effect.ZERO_OFFSET, 1), false);
    assertEquals("+0.024", offset.group(2));
    assertEquals("-0.014", offset.group(3));
    // A gain of 1.0015 makes 28 inH2O 28.042.
    Matcher gain = pressuresAtRest(IDEAL.scaled(Effect.GAIN_ERROR, 1), true);
    assertEquals("+28.042", gain.group(2));
  }

  @Test
  void readingsFallOnTheQuantum() {
    Scenario coarse =
        IDEAL.scaled(Effect.QUANTUM, 100).scaled(Effect.GAUGE_NOISE, 20).scaled(Effect.WANDER, 1);
    Stand stand = Stand.running(coarse, new Mounted.Blank(), 0, Stand.AIM, 1);
    stand.forget();
    List<String> shown = new ArrayList<>();
    for (String line : stand.hear(SimulatedBench.MANOMETER, 10)) {
      double pascals = Double.parseDouble(matches(PRESSURES, line).group(2)) * Stand.INCH_OF_WATER;
      // 100 × 0.5 Pa; the line itself rounds to 0.125 Pa at most.
      double steps = pascals / 50;
      assertEquals(Math.rint(steps), steps, 0.126 / 50, line);
      shown.add(line);
    }
    assertTrue(shown.stream().distinct().count() > 3);
  }

  @Test
  void aGaugeFollowsWithItsLag() {
    PressureGauge gauge =
        new PressureGauge(
            DEMO.gauges().testPressure(),
            IDEAL.scaled(Effect.GAUGE_LAG, 1),
            new SplittableRandom(1),
            0.001);
    for (int i = 0; i < 25; i++) {
      gauge.step(1000);
    }
    // After one time constant, 25 ms: 1 − 1/e.
    assertEquals(632.12, gauge.seenPa(), 0.01);
  }

  @Test
  void noiseHasItsSize() {
    Stand stand = new Stand(IDEAL.scaled(Effect.GAUGE_NOISE, 1), 77);
    List<String> lines = stand.hear(SimulatedBench.MANOMETER, 200);
    double[] pascals =
        lines.stream()
            .skip(1)
            .mapToDouble(line -> Double.parseDouble(matches(PRESSURES, line).group(2)))
            .map(inches -> inches * Stand.INCH_OF_WATER)
            .toArray();
    // 10 000 readings: the deviation is known to 0.7 %, four of that; the third decimal adds
    // little.
    assertEquals(1, Stand.deviation(pascals) / 1.2, 0.03, "seed 77");
  }

  @Test
  void theDialSendsTenTimesASecondInTheUnitOfItsButton() {
    Stand metric = new Stand(DEMO, 1);
    metric.bench.mount(new Mounted.Head(DEMO.before()));
    metric.bench.setLift(11.43e-3);
    metric.run(10);
    metric.forget();
    List<String> lines = metric.hear(SimulatedBench.DIAL, 10);
    assertEquals(100, lines.size(), 1);
    assertEquals(11.43, Double.parseDouble(matches(LIFT_MM, last(lines)).group(1)), 0.03);

    Scenario.Dial dial = DEMO.dial();
    Stand inch =
        new Stand(
            Variants.with(
                DEMO,
                new Scenario.Dial(
                    dial.zeroM(),
                    dial.flexMPerPa(),
                    dial.backlashM(),
                    dial.noiseM(),
                    dial.quantumM(),
                    true)),
            1);
    inch.bench.mount(new Mounted.Head(DEMO.before()));
    inch.bench.setLift(11.43e-3);
    String shown = last(inch.hear(SimulatedBench.DIAL, 10));
    assertEquals(0.45, Double.parseDouble(matches(LIFT_INCH, shown).group(1)), 0.0012);
  }

  @Test
  void aSpindleOutOfRangeHasNoValue() {
    Stand stand = new Stand(IDEAL, 1);
    stand.bench.setLift(0.026);
    assertEquals("L ----- mm\r", last(stand.hear(SimulatedBench.DIAL, 10)));
  }

  @Test
  void theStationSpeaksOnlyWhenAskedItsQuestion() {
    Stand stand = new Stand(IDEAL, 1);
    assertEquals(List.of(), stand.hear(SimulatedBench.STATION, 3));
    send(stand, "AIR\r\n");
    assertEquals(List.of(), stand.hear(SimulatedBench.STATION, 3));
    send(stand, "AI");
    send(stand, "R?\r");
    stand.run(0.1);
    send(stand, "\n");
    assertEquals(List.of(), stand.hear(SimulatedBench.STATION, 0.03), "it takes 40 ms");
    Matcher answer = matches(AIR, last(stand.hear(SimulatedBench.STATION, 0.02)));
    assertEquals("21.50", answer.group(2));
    assertEquals("998.00", answer.group(3));
    assertEquals("45.0", answer.group(4));
    assertEquals(
        new AsciiLine().text(answer.group(1)).crc(), Integer.parseInt(answer.group(5), 16));
  }

  @Test
  void bytesComeInTheOrderOfTheirArrivalAndNoneFromTheFuture() {
    Stand stand = new Stand(DEMO, 3);
    long[] last = {0};
    int[] count = {0};
    for (int i = 0; i < 400; i++) {
      send(stand, "AIR?\r\n");
      stand.run(0.032);
      stand.bench.drain(
          (instrument, at, bytes) -> {
            assertTrue(at.nanos() >= last[0], instrument);
            assertTrue(!at.isAfter(stand.bench.now()), instrument);
            last[0] = at.nanos();
            count[0]++;
          });
    }
    assertEquals(12.8 * 60 + 400, count[0], 6);
  }

  @Test
  void aSmallBufferTakesTheSameBytes() {
    Stand whole = new Stand(DEMO, 4);
    Stand pieces = new Stand(DEMO, 4);
    whole.run(1);
    pieces.run(1);
    ByteBuffer all = ByteBuffer.allocate(1 << 16);
    whole.bench.drain(SimulatedBench.MANOMETER, all);
    ByteBuffer joined = ByteBuffer.allocate(1 << 16);
    ByteBuffer seven = ByteBuffer.allocate(7);
    while (pieces.bench.drain(SimulatedBench.MANOMETER, seven) > 0) {
      joined.put(seven.flip());
      seven.clear();
    }
    assertEquals(all.flip(), joined.flip());
  }

  @Test
  void anUnknownInstrumentIsNamed() {
    SimulatedBench bench = new SimulatedBench(DEMO, 1);
    String message =
        assertThrows(
                IllegalArgumentException.class,
                () -> bench.received("barometer", ByteBuffer.allocate(0)))
            .getMessage();
    assertTrue(message.contains("barometer") && message.contains(SimulatedBench.DIAL), message);
  }

  private static Matcher pressuresAtRest(Scenario scenario, boolean blower) {
    Stand stand = new Stand(scenario, 1);
    stand.bench.aimPressure(Stand.AIM);
    stand.bench.blower(blower);
    return matches(PRESSURES, last(stand.hear(SimulatedBench.MANOMETER, 30)));
  }

  private static void send(Stand stand, String text) {
    stand.bench.received(SimulatedBench.STATION, ByteBuffer.wrap(text.getBytes(US_ASCII)));
  }

  private static String number(double value) {
    return new String(new AsciiLine().number(value, 3, true).take(), US_ASCII);
  }

  private static String last(List<String> lines) {
    return lines.get(lines.size() - 1);
  }

  private static Matcher matches(Pattern pattern, String line) {
    Matcher matcher = pattern.matcher(line);
    assertTrue(matcher.matches(), line);
    return matcher;
  }

  @Test
  void timeMovesOnlyForward() {
    SimulatedBench bench = new SimulatedBench(DEMO, 1);
    bench.advanceTo(Moment.ofSeconds(1));
    bench.advanceTo(Moment.ofSeconds(0.5));
    assertEquals(1, bench.now().seconds(), 0.002);
  }
}
