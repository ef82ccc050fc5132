package meniscus.core.steadiness;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.hipparchus.distribution.continuous.NormalDistribution;

/**
 * Recordings of a real blower (resources, with their notice), and noise that is like them: the
 * spectrum and the distribution of the eight seconds for which one was held, phases drawn anew.
 */
final class BlowerNoise {

  private static final double HELD_SECONDS = 8;
  private static final double HERTZ = 1 / 0.019;
  private static final int SMOOTHED = 4; // ordinates to either side

  private static double[] power;
  private static double[] sorted;

  private BlowerNoise() {}

  /** Times and one column of a recording. */
  static double[][] recording(String speed, String column) {
    String name = "blower/" + speed + ".csv";
    try (InputStream in = BlowerNoise.class.getResourceAsStream(name)) {
      List<String> lines = new String(in.readAllBytes(), StandardCharsets.UTF_8).lines().toList();
      List<String> columns = List.of(lines.get(0).split(","));
      List<double[]> rows = new ArrayList<>();
      for (String line : lines.subList(1, lines.size())) {
        String[] cells = line.split(",");
        rows.add(
            new double[] {
              Double.parseDouble(cells[0]), Double.parseDouble(cells[columns.indexOf(column)])
            });
      }
      double[] t = rows.stream().mapToDouble(row -> row[0]).toArray();
      double[] x = rows.stream().mapToDouble(row -> row[1]).toArray();
      return new double[][] {t, x};
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Noise of deviation one about zero. */
  static double[] draw(int n, double hertz, Random random) {
    learn();
    int size = Integer.highestOneBit(8 * n - 1);
    double[] re = new double[size];
    double[] im = new double[size];
    double total = 0;
    for (int k = 1; k < size / 2; k++) {
      double at = k * hertz / size / HERTZ * 2 * power.length;
      int below = (int) at;
      if (below + 1 < power.length) {
        double p = power[below] + (at - below) * (power[below + 1] - power[below]);
        double height = Math.sqrt(p);
        re[k] = height * random.nextGaussian();
        im[k] = height * random.nextGaussian();
        total += p;
      }
    }
    Fourier.transform(re, im);
    NormalDistribution normal = new NormalDistribution();
    double[] drawn = new double[n];
    for (int i = 0; i < n; i++) {
      double share = normal.cumulativeProbability(re[i] / Math.sqrt(total));
      drawn[i] = sorted[(int) Math.min(sorted.length - 1, share * sorted.length)];
    }
    return drawn;
  }

  private static synchronized void learn() {
    if (sorted != null) {
      return;
    }
    double[][] all = recording("24000", "p2");
    int n = 0;
    while (all[0][n] < HELD_SECONDS) {
      n++;
    }
    double[] x = Arrays.copyOf(all[1], n);
    double mean = Arrays.stream(x).average().orElseThrow();
    double slope = 0;
    double spread = 0;
    for (int i = 0; i < n; i++) {
      double from = i - 0.5 * (n - 1);
      slope += from * (x[i] - mean);
      spread += from * from;
    }
    for (int i = 0; i < n; i++) {
      x[i] -= mean + slope / spread * (i - 0.5 * (n - 1));
    }
    double size = Math.sqrt(Arrays.stream(x).map(v -> v * v).average().orElseThrow());
    double[] re = new double[Integer.highestOneBit(n)];
    double[] im = new double[re.length];
    for (int i = 0; i < re.length; i++) {
      re[i] = x[i] / size;
    }
    Fourier.transform(re, im);
    double[] raw = new double[re.length / 2];
    for (int k = 1; k < raw.length; k++) {
      raw[k] = re[k] * re[k] + im[k] * im[k];
    }
    power = new double[raw.length];
    for (int k = 1; k < raw.length; k++) {
      int from = Math.max(1, k - SMOOTHED);
      int to = Math.min(raw.length - 1, k + SMOOTHED);
      for (int i = from; i <= to; i++) {
        power[k] += raw[i] / (to - from + 1);
      }
    }
    power[0] = power[1];
    double[] held = Arrays.stream(x).map(v -> v / size).sorted().toArray();
    sorted = held;
  }
}
