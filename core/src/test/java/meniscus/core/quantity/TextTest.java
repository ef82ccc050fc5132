package meniscus.core.quantity;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Locale;
import java.util.Random;
import java.util.stream.DoubleStream;
import org.junit.jupiter.api.Test;

/** Against Java's own forms. */
class TextTest {

  @Test
  void tenthsAreThoseOfTheForm() {
    long seed = 20311130;
    Random random = new Random(seed);
    DoubleStream special =
        DoubleStream.of(0, -0.0, -0.03, 0.05, 0.25, 9.95, 1e9, 1e-9, Double.NaN, -1.0 / 0, 1.0 / 0);
    DoubleStream drawn = random.doubles(2_000).map(d -> Math.exp(40 * d - 20));
    DoubleStream.concat(special, drawn)
        .forEach(
            value ->
                assertEquals(
                    String.format(Locale.ROOT, "%.1f", value),
                    Text.tenths(value),
                    () -> "seed " + seed + ", " + value));
  }
}
