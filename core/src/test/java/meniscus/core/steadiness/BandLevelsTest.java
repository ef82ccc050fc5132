package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Band levels of a fast channel, against a library that no one here wrote. */
class BandLevelsTest {

  /**
   * SciPy 1.17.1 on numpy 2.4.6: {@code f, P = welch(y, fs, window='hann', nperseg=512 (128 at 1
   * kHz), noverlap=nperseg//2, detrend='constant', scaling='density')}, then {@code sqrt(sum(P[(f
   * >= low) & (f < high)]) * fs / nperseg)}; y as in {@link #made}.
   */
  @Test
  void theyAreThoseOfScipysWelch() {
    BandLevels fast = made(5000, 50_000);
    EXPECTED_5K.forEach(
        (band, rms) -> assertEquals(rms, fast.level(band).orElseThrow().rms(), 1e-9 * rms));
    BandLevels slow = made(1000, 20_000);
    EXPECTED_1K.forEach(
        (band, rms) -> assertEquals(rms, slow.level(band).orElseThrow().rms(), 1e-9 * rms));
    assertTrue(slow.level(Band.HIGH).isEmpty(), "1 kHz shows nothing up to 2 kHz");
  }

  private static final Map<Band, Double> EXPECTED_5K =
      Map.of(
          Band.LOW,
          0.21785434799195325,
          Band.MIDDLE,
          0.1353856988256026,
          Band.HIGH,
          0.2222277985019568);
  private static final Map<Band, Double> EXPECTED_1K =
      Map.of(Band.LOW, 0.2431117232987824, Band.MIDDLE, 0.2666609061903154);

  /**
   * x = (1103515245 x + 12345) mod 2³¹ from 20311129, less a half of its range; sines; an offset.
   */
  private static BandLevels made(int rate, int readings) {
    BandLevels levels = new BandLevels();
    long x = 20311129;
    for (int i = 0; i < readings; i++) {
      x = (1103515245L * x + 12345) % (1L << 31);
      double y =
          x / (double) (1L << 31)
              - 0.5
              + 0.3 * Math.sin(2 * Math.PI * 63.0 * i / rate)
              + 0.1 * Math.cos(2 * Math.PI * 310.0 * i / rate)
              + 2.0;
      levels.sample((double) i / rate, y);
    }
    return levels;
  }

  /** A sine has a root mean square of its amplitude over √2, and stands in its own band alone. */
  @Test
  void aSineIsAsLoudAsItIs() {
    BandLevels levels = new BandLevels();
    for (int i = 0; i < 25_000; i++) {
      levels.sample(i / 5000.0, 40 * Math.sin(2 * Math.PI * 250 * i / 5000.0));
    }
    assertEquals(40 / Math.sqrt(2), levels.level(Band.MIDDLE).orElseThrow().rms(), 0.01);
    assertTrue(levels.level(Band.LOW).orElseThrow().rms() < 0.05);
    assertTrue(levels.level(Band.HIGH).orElseThrow().rms() < 0.05);
  }

  /** Two hundred pieces of noise: the standard uncertainty is the scatter from piece to piece. */
  @Test
  void theUncertaintyIsWhatLevelsScatterBy() {
    Random random = new Random(81);
    double sum = 0;
    double squares = 0;
    double said = 0;
    int pieces = 200;
    for (int p = 0; p < pieces; p++) {
      BandLevels levels = new BandLevels();
      for (int i = 0; i < 20_000; i++) {
        levels.sample(i / 1000.0, random.nextGaussian());
      }
      BandLevels.Level level = levels.level(Band.LOW).orElseThrow();
      sum += level.rms();
      squares += level.rms() * level.rms();
      said += level.standardUncertainty() / pieces;
    }
    double scatter = Math.sqrt((squares - sum * sum / pieces) / (pieces - 1));
    assertEquals(1, said / scatter, 0.2, "seed 81");
  }

  @Test
  void noSpectrumGoesAcrossAGapOrAnOverload() {
    BandLevels whole = new BandLevels();
    BandLevels torn = new BandLevels();
    for (int i = 0; i < 40_000; i++) {
      double y = i / 2_000 % 2 == 0 ? 0 : 500; // steps that would be loud
      double quiet = Math.sin(2 * Math.PI * 50 * i / 2000.0);
      if (i % 2_000 > 10) {
        torn.sample(i / 2000.0, y + quiet);
      } else {
        torn.sample(i / 2000.0, Double.NaN);
      }
      whole.sample(i / 2000.0, quiet);
    }
    double rms = whole.level(Band.LOW).orElseThrow().rms();
    assertEquals(rms, torn.level(Band.LOW).orElseThrow().rms(), 0.02 * rms);
  }

  @Test
  void aSlowChannelHasNoBands() {
    BandLevels levels = new BandLevels();
    for (int i = 0; i < 2_000; i++) {
      levels.sample(i / 100.0, i % 7);
    }
    for (Band band : Band.values()) {
      assertTrue(levels.level(band).isEmpty());
    }
  }
}
