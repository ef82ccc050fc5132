package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The open-source library fluids (C. Bell): values asserted in its own tests (commit 091070e,
 * tests/test_flow_meter.py and test_compressible.py), and a table written by running version 1.3.1.
 */
class FluidsLibraryTest {

  /** ρ 1.1645909036 kg/m³, μ 1.85861753095e-5 Pa s, qm 0.124431876 kg/s. */
  @ParameterizedTest
  @CsvSource({"CORNER, 0.6000085121444034", "RADIUS, 0.5988219225", "FLANGE, 0.5990042535666878"})
  void coefficient(Tapping tapping, double expected) {
    OrificePlate plate = OrificePlate.inPipe(0.0222, 0.07391, tapping);
    double reynolds = plate.boreReynolds(0.124431876, 1.85861753095e-5);
    assertEquals(expected, plate.coefficient(reynolds), expected * 1e-9);
  }

  /** Mass flow given, without density: Reynolds number and coefficient. */
  @ParameterizedTest
  @CsvSource({
    "0.1, 0.05, 0.05, CORNER, 0.6102147795785565",
    "0.1, 0.03, 0.02, RADIUS, 0.6028519502551493",
    "0.06, 0.03, 0.03, FLANGE, 0.61050009551777",
    "0.15, 0.1, 0.3, RADIUS, 0.61401020159957"
  })
  void coefficientRunByHand(
      double pipeM, double boreM, double massFlow, Tapping tapping, double expected) {
    OrificePlate plate = OrificePlate.inPipe(boreM, pipeM, tapping);
    double reynolds = plate.boreReynolds(massFlow, 1.82e-5);
    assertEquals(expected, plate.coefficient(reynolds), expected * 1e-10);
  }

  /** "Tested against a value in the standard", says the library of the 2003 form. */
  @Test
  void expansibility() {
    double ratio = 0.0222 / 0.0739;
    assertEquals(0.9974739057343425, Expansibility.ISO_2003.factor(ratio, 1e5, 1e3, 1.4), 1e-9);
    assertEquals(0.9970510687411718, Expansibility.ISO_1991.factor(ratio, 1e5, 1e3, 1.4), 1e-9);
    assertEquals(
        0.9815926534915278, Expansibility.ISO_2003.factor(0.5, 101_325, 28 * 249.08891, 1.4), 1e-9);
  }

  @Test
  void massFlowWithCoefficientAndExpansibilityGiven() {
    OrificePlate plate = OrificePlate.inPipe(0.0222, 0.0739, Tapping.RADIUS);
    double massFlow = 0.5988 * 0.9975 * plate.idealMassFlow(1.1646, 1e3);
    assertEquals(0.01120390943807026, massFlow, 0.0112 * 1e-9);
  }

  /** Water, 200 to 183 kPa. */
  @Test
  void massFlowIteratedOnTheReynoldsNumber() {
    OrificePlate plate = OrificePlate.inPipe(0.05, 0.07366, Tapping.RADIUS);
    double massFlow = plate.massFlow(999.1, 0.0011, 1.33, 2e5, 17e3, Expansibility.ISO_2003);
    assertEquals(7.702338035732167, massFlow, 7.7 * 1e-8);
  }

  @Test
  void criticalPressure() {
    assertEquals(766812.9022792266, 1.4e6 * Nozzle.criticalRatio(1.289), 1e-3);
  }

  record Row(String kind, OrificePlate plate, double argument, double expected) {}

  private static Stream<Row> table() throws IOException {
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(
                FluidsLibraryTest.class.getResourceAsStream("fluids-1.3.1-plates.csv"),
                StandardCharsets.UTF_8))) {
      List<Row> rows =
          reader.lines().skip(1).map(FluidsLibraryTest::row).collect(Collectors.toList());
      return rows.stream();
    }
  }

  private static Row row(String line) {
    String[] cells = line.split(",");
    OrificePlate plate =
        OrificePlate.inPipe(
            Double.parseDouble(cells[2]), Double.parseDouble(cells[1]), Tapping.valueOf(cells[3]));
    return new Row(cells[0], plate, Double.parseDouble(cells[4]), Double.parseDouble(cells[5]));
  }

  private static Stream<Row> table(String kind) throws IOException {
    return table().filter(row -> row.kind.equals(kind));
  }

  @Test
  void theTableIsWhole() throws IOException {
    assertEquals(441, table().count());
  }

  static Stream<Row> coefficients() throws IOException {
    return table("C");
  }

  /** Pipes of 50.8 to 600 mm, β of 0.1 to 0.75, pipe Reynolds numbers of 5e3 to 4e5. */
  @ParameterizedTest
  @MethodSource("coefficients")
  void coefficientOverTheWholeRange(Row row) {
    double c = row.plate.coefficient(row.argument / row.plate.ratio());
    assertEquals(row.expected, c, row.expected * 1e-9);
  }

  static Stream<Row> massFlows() throws IOException {
    return table("MASS_FLOW");
  }

  /** Air of 101325 Pa, 1.2046 kg/m³, 1.8206e-5 Pa s, κ 1.4006, drops of 250 Pa to 15 kPa. */
  @ParameterizedTest
  @MethodSource("massFlows")
  void massFlowOverTheBenchRange(Row row) {
    double massFlow =
        row.plate.massFlow(
            1.2046, 1.8206e-5, 1.4006, 101_325, row.argument, Expansibility.ISO_2003);
    assertEquals(row.expected, massFlow, row.expected * 1e-8);
  }

  static Stream<Row> expansibilities() throws IOException {
    return Stream.concat(table("EPS_2003"), table("EPS_1991"));
  }

  @ParameterizedTest
  @MethodSource("expansibilities")
  void expansibilityOverTheBenchRange(Row row) {
    Expansibility form =
        row.kind.equals("EPS_2003") ? Expansibility.ISO_2003 : Expansibility.ISO_1991;
    assertTrue(row.expected < 1);
    assertEquals(
        row.expected, form.factor(row.plate.ratio(), 101_325, row.argument, 1.4006), 1e-12);
  }
}
