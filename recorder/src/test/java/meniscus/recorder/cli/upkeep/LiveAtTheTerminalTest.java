package meniscus.recorder.cli.upkeep;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import meniscus.core.bench.Evidence;
import meniscus.core.quantity.Unit;
import meniscus.recorder.feed.GaugeReader;
import org.junit.jupiter.api.Test;

/** What a person sees at the terminal while a plate is read. */
class LiveAtTheTerminalTest {

  private static final double INCH = 249.08891;

  private static GaugeReader.Live live(double pressure) {
    return new GaugeReader.Live(28 * INCH, 0.05, pressure * INCH, 4.8 * INCH, 7, 45);
  }

  @Test
  void theTestPressureStandsBesideItsBandInTheOwnersUnit() {
    String step = "plate 44, 3 of 5; pressure 1 of 2";
    assertEquals(
        step + "  test pressure 28.10 inH2O, in 26.60 to 29.40  drop 4.80  still 7 of 45 s",
        AtBench.words(step, live(28.1), Unit.INCH_OF_WATER));
    assertTrue(AtBench.words(step, live(31), Unit.INCH_OF_WATER).contains("NOT in 26.60 to 29.40"));
  }

  @Test
  void atRestNoPressureIsWanted() {
    GaugeReader.Live rest = new GaugeReader.Live(0, 0, 1.2, -0.4, 3, 10);
    assertEquals(
        "  test pressure 1.20 Pa, at rest  drop -0.40  still 3 of 10 s",
        AtBench.words("", rest, Unit.PASCAL));
    assertTrue(rest.inBand());
  }

  @Test
  void aDropThatIsNotHeardIsNoNumber() {
    GaugeReader.Live deaf = new GaugeReader.Live(7000, 0.05, 7000, Double.NaN, 3, 10);
    assertTrue(AtBench.words("", deaf, Unit.PASCAL).contains("drop –"));
  }

  @Test
  void eachReadingIsAPointOnTheGrowingCorrection() {
    String scale = CorrectionStrip.scale();
    String line =
        CorrectionStrip.line(
            new Evidence.Point("44", 7000, 4.8 * INCH, 1.03, 0.0025, 0), Unit.INCH_OF_WATER);
    assertTrue(line.startsWith("44 "), line);
    assertTrue(line.endsWith("+3.00 ± 0.49 %"), line);
    assertTrue(line.contains("4.800 inH2O"), line);
    // 3 % of 5 % is three fifths of the 25 places from the middle to the right end.
    int middle = line.indexOf('|');
    assertEquals(scale.indexOf('0', scale.indexOf("drop")), middle, scale + "\n" + line);
    assertEquals(15, line.indexOf('o', middle) - middle, line);
    String beyond =
        CorrectionStrip.line(new Evidence.Point("9", 7000, 3, 0.8, 0.01, 0), Unit.PASCAL);
    assertTrue(beyond.endsWith("-20.00 ± 1.96 %"), beyond);
  }
}
