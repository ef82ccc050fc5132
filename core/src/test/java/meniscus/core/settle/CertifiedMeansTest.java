package meniscus.core.settle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Mean and standard deviation of a block against NIST's Statistical Reference Datasets (StRD),
 * univariate summary statistics; data as shipped in the tests of commons-math3 3.6.1. Certified
 * values as printed in those files.
 */
class CertifiedMeansTest {

  @ParameterizedTest
  @CsvSource({
    "Michelso.txt, 299.852400000000, 0.0790105478190518, 1e-10",
    "Mavro.txt, 2.00185600000000, 0.000429123454003053, 1e-10",
    "PiDigits.txt, 4.53480000000000, 2.86733906028871, 1e-12",
    "NumAcc1.txt, 10000002, 1, 1e-12",
    "NumAcc2.txt, 1.2, 0.1, 1e-12",
    "NumAcc3.txt, 1000000.2, 0.1, 1e-8",
    "NumAcc4.txt, 10000000.2, 0.1, 1e-7"
  })
  void meanAndDeviation(String file, double mean, double deviation, double relative)
      throws IOException {
    List<Double> data = data(file);
    Blocks blocks = new Blocks(data.size(), 128);
    double i = 0;
    for (double x : data) {
      blocks.add(i++, x);
    }
    blocks.finish();
    blocks.add(data.size() + 0.5, 0);
    assertEquals(data.size(), blocks.count(0));
    assertEquals(mean, blocks.mean(0), 1e-14 * mean * data.size());
    assertEquals(deviation, Math.sqrt(blocks.variance(0)), relative * deviation);
  }

  /** Lines that hold one number each, after the last line of text. */
  private static List<Double> data(String file) throws IOException {
    List<Double> numbers = new ArrayList<>();
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(
                Objects.requireNonNull(
                    CertifiedMeansTest.class.getResourceAsStream(
                        "/org/apache/commons/math3/stat/data/" + file)),
                StandardCharsets.UTF_8))) {
      for (String line = reader.readLine(); line != null; line = reader.readLine()) {
        if (line.strip().matches("[-+]?[0-9.]+([eE][-+]?\\d+)?")) {
          numbers.add(Double.parseDouble(line.strip()));
        } else if (!line.isBlank()) {
          numbers.clear();
        }
      }
    }
    return numbers;
  }
}
