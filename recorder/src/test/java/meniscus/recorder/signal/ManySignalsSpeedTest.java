package meniscus.recorder.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Random;
import java.util.stream.Stream;
import meniscus.recorder.record.Recorder;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Prints how long {@code judge} takes for a thousand recordings, beside only reading them. */
@Tag("bench")
class ManySignalsSpeedTest {

  private static final int FILES = 1000;
  private static final int READINGS = 6000;
  private static final double HERTZ = 100;
  private static final long SEED = 4711;

  @TempDir Path temp;

  @Test
  void aThousandFilesOfAMinute() throws IOException {
    Random random = new Random(SEED);
    Path signals = Files.createDirectory(temp.resolve("signals"));
    Path calm = Files.createDirectory(temp.resolve("calm"));
    for (int i = 0; i < FILES; i++) {
      double correlation = 0.05 * Math.pow(40, random.nextDouble());
      write(signals.resolve(i + ".csv"), correlation, i % 5 == 0 ? 0.02 : 0, random);
    }
    for (int i = 0; i < 10; i++) {
      write(calm.resolve(i + ".csv"), 0.2, 0, random);
    }
    double reading = seconds(() -> readAll(signals));
    double alone = seconds(() -> assertEquals(FILES, judged(signals)));
    double withCalm = seconds(() -> assertEquals(FILES, judged(signals, "--calm", calm)));
    System.out.printf(
        Locale.ROOT,
        "%d files of %d readings, seed %d: read only %.1f s, judged %.1f s, judged with a calm"
            + " record %.1f s%n",
        FILES,
        READINGS,
        SEED,
        reading,
        alone,
        withCalm);
  }

  /** Correlated noise of 1 % about 1, settling at first; jumps between two levels if asked. */
  private static void write(Path file, double correlation, double apart, Random random)
      throws IOException {
    double keep = Math.exp(-1 / (correlation * HERTZ));
    double noise = random.nextGaussian();
    double side = apart / 2;
    StringBuilder text = new StringBuilder("time_s,value\n");
    for (int i = 0; i < READINGS; i++) {
      double seconds = i / HERTZ;
      side = random.nextDouble() < 1 / HERTZ ? -side : side;
      double value = 1 + side + 0.01 * noise - 0.2 * Math.exp(-seconds / 0.5);
      text.append(seconds).append(',').append((float) value).append('\n');
      noise = keep * noise + Math.sqrt(1 - keep * keep) * random.nextGaussian();
    }
    Files.writeString(file, text);
  }

  private static void readAll(Path folder) throws IOException {
    double[] sum = new double[1];
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.toList()) {
        new SignalFile(file, "time_s", "value")
            .read(
                (seconds, value) -> {
                  sum[0] += value;
                  return true;
                });
      }
    }
    assertEquals(FILES * READINGS, sum[0], 0.02 * FILES * READINGS);
  }

  private static long judged(Object... arguments) {
    Ran ran =
        Recorder.run(
            "", Stream.concat(Stream.of("judge", "--json"), Stream.of(arguments)).toArray());
    assertEquals(0, ran.exitCode(), ran.err());
    return ran.out().lines().count();
  }

  @FunctionalInterface
  private interface Work {
    void done() throws IOException;
  }

  private static double seconds(Work work) throws IOException {
    long start = System.nanoTime();
    work.done();
    return (System.nanoTime() - start) * 1e-9;
  }
}
