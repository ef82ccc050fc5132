package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.BlindSpot;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CoefficientError;
import meniscus.core.bench.Evidence;
import meniscus.core.bench.Explanation;
import meniscus.core.budget.SmallBench;
import meniscus.core.calibrate.Plate;
import meniscus.core.flow.Direction;
import meniscus.drivers.hash.Sha256;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CalibrationFileTest {

  @TempDir private Path folder;

  private static Calibration calibration() {
    Calibration plain = SmallBench.calibration(Direction.SUCTION);
    return new Calibration(
        "",
        plain.direction(),
        plain.range(),
        plain.at(),
        plain.epoch(),
        plain.element(),
        List.of(
            plain.errors().get(0),
            plain.errors().get(2),
            new CoefficientError("scatter", "", List.of(1.0 / 3, -2e-7), 7)),
        new Evidence(
            List.of(new Evidence.Point("P34", 6974.489, 1234.567, 1.0123, 0.002, -1e-4)),
            List.of(new Evidence.PlateResult("P34", 0.001, 0.003)),
            new Evidence.GoodnessOfFit(1.5, 3, 0.7, 1),
            List.of(
                new Explanation(Explanation.Kind.LEAK, "", 1.2e-3, 2e-4, 0.9),
                new Explanation(Explanation.Kind.PLATE, "P34", -0.02, 0.003, 0.1)),
            List.of(
                new BlindSpot(
                    Explanation.Kind.DROP_ZERO, 8, Explanation.Kind.LEAK, OptionalDouble.of(0.02)),
                new BlindSpot(
                    Explanation.Kind.DRIFT,
                    0.01,
                    Explanation.Kind.NOTHING,
                    OptionalDouble.empty())),
            List.of("a remark")));
  }

  @Test
  void aCalibrationReadsBackToTheLastDigitUnderTheNameOfItsBytes() throws IOException {
    Calibration written = CalibrationFile.write(folder, calibration());
    Path file = folder.resolve(CalibrationFile.name(written.id()));
    Calibration read = CalibrationFile.parse("file", Files.readAllBytes(file), written.id());
    assertEquals(written, read);
    assertEquals(64, written.id().length());
  }

  /** As versions before explanations wrote it. */
  @Test
  void aPlateThatAnEarlierVersionNamedIsStillNamed() {
    Calibration now = calibration();
    Evidence evidence = now.evidence();
    Calibration then =
        new Calibration(
            "",
            now.direction(),
            now.range(),
            now.at(),
            now.epoch(),
            now.element(),
            now.errors(),
            new Evidence(
                evidence.points(),
                evidence.plates(),
                evidence.fit(),
                List.of(),
                List.of(),
                evidence.remarks()));
    String text =
        CalibrationFile.text(then).replace("\"remarks\"", "\"disagreeing\":\"P34\",\"remarks\"");
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    Calibration read = CalibrationFile.parse("file", bytes, Sha256.hex(bytes));
    assertEquals(Optional.of("P34"), read.evidence().disagreeing());
    assertEquals(List.of(), read.evidence().blindSpots());
  }

  @Test
  void aChangedByteIsRefused() throws IOException {
    Calibration written = CalibrationFile.write(folder, calibration());
    byte[] bytes = Files.readAllBytes(folder.resolve(CalibrationFile.name(written.id())));
    bytes[bytes.length / 2] ^= 1;
    FileNotAccepted refused =
        assertThrows(
            FileNotAccepted.class, () -> CalibrationFile.parse("file", bytes, written.id()));
    assertTrue(refused.getMessage().contains("changed or damaged"), refused.getMessage());
  }

  @Test
  void platesAreReadByCertificateByFlowAndByBore() {
    List<Plate> plates =
        PlatesFile.parse(
            "plates.json",
            """
            {"meniscus": "plates/1", "plates": [
              {"name": "44", "bore": "44 mm", "bore_within": "0.01 mm", "origin": "laboratory",
               "coefficient": {"value": 0.602, "standard_uncertainty": "0.25 %"}},
              {"name": "old", "flow": "150 cfm", "at": "28 inH2O", "standard_uncertainty": "1 %"},
              {"name": "20", "bore": "20 mm", "bore_within": "0.02 mm"}]}
            """);
    assertEquals(List.of("44", "old", "20"), plates.stream().map(Plate::name).toList());
    assertTrue(plates.get(1).commonUncertainty() > plates.get(0).commonUncertainty());
  }

  @Test
  void inchesAndMillimetresMakeTheSamePlate() {
    Plate metric = plate("\"bore\": \"38.1 mm\"");
    Plate inch = plate("\"bore\": \"1.5 in\"");
    AirState air = SmallBench.room();
    assertEquals(metric.massFlow(6000, air), inch.massFlow(6000, air), 1e-12);
    Plate statedMetric = stated("\"flow\": \"70.79211648 L/s\", \"at\": \"6974.48948 Pa\"");
    Plate statedInch = stated("\"flow\": \"150 cfm\", \"at\": \"28 inH2O\"");
    assertEquals(statedMetric.massFlow(6000, air), statedInch.massFlow(6000, air), 1e-12);
  }

  private static Plate plate(String bore) {
    return PlatesFile.parse(
            "plates.json",
            "{\"meniscus\": \"plates/1\", \"plates\": [{\"name\": \"a\", " + bore + "}]}")
        .get(0);
  }

  private static Plate stated(String members) {
    return PlatesFile.parse(
            "plates.json",
            "{\"meniscus\": \"plates/1\", \"plates\": [{\"name\": \"a\", "
                + members
                + ", \"standard_uncertainty\": \"1 %\"}]}")
        .get(0);
  }

  @Test
  void anUnknownMemberOfAPlateIsRefusedByName() {
    FileNotAccepted refused =
        assertThrows(
            FileNotAccepted.class,
            () ->
                PlatesFile.parse(
                    "plates.json",
                    "{\"meniscus\": \"plates/1\", \"plates\":"
                        + " [{\"name\": \"a\", \"bore\": \"20 mm\", \"boer_within\": \"1 mm\"}]}"));
    assertTrue(refused.getMessage().contains("boer_within"), refused.getMessage());
  }
}
