package meniscus.recorder.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The shop calculator from outside, by the words a person types. */
class FigureCommandTest {

  private record Run(int code, String out, String err) {}

  /** Words of one command; quoted parts in single quotes. */
  private static Run run(String words) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    String[] arguments =
        Stream.of(("figure " + words).split(" +(?=(?:[^']*'[^']*')*[^']*$)"))
            .map(word -> word.replace("'", ""))
            .toArray(String[]::new);
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            InputStream.nullInputStream(),
            arguments);
    return new Run(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  private static JsonNode json(String words) {
    Run run = run(words + " --json");
    assertEquals(0, run.code, run.err);
    assertEquals("", run.err);
    assertEquals(1, run.out.lines().count());
    try {
      return new ObjectMapper().readTree(run.out);
    } catch (JsonProcessingException e) {
      throw new AssertionError(run.out, e);
    }
  }

  private static double number(JsonNode json, String member) {
    assertTrue(json.path(member).isNumber(), member + " in " + json);
    return json.get(member).asDouble();
  }

  /** IEC 61094-2:2009 table F.1, as quoted in the public test data of the library phonometry. */
  @Test
  void airIsThatOfTheStandard() {
    JsonNode air = json("air --temperature '23 degC' --pressure '101325 Pa' --humidity 50%");
    assertEquals(1.1860848, number(air, "density_kg_per_m3"), 5e-8);
    assertEquals(1.826566e-5, number(air, "viscosity_pa_s"), 1e-11);
    assertEquals(345.86652, number(air, "sound_speed_m_per_s"), 1e-5);
    assertEquals(1.4007573, number(air, "kappa"), 1e-7);
    assertTrue(air.get("remarks").isEmpty());
  }

  @Test
  void airOutsideTheRangeIsComputedWithARemark() {
    JsonNode air = json("air --temperature '104 degF' --pressure '760 mmHg' --humidity '40 %'");
    // A mass-metrology book's appendix, p. 205, as asserted in the R package masscor.
    assertEquals(1.11497, number(air, "density_kg_per_m3"), 1e-4);
    assertTrue(air.get("remarks").get(0).asText().startsWith("air temperature 40.0 °C"));
  }

  @Test
  void aSeaLevelBarometerIsNoticedWhenTheAltitudeIsGiven() {
    String words = "air --temperature '20 degC' --pressure '1015 hPa' --humidity 50%";
    assertTrue(json(words).get("remarks").isEmpty());
    JsonNode remarks = json(words + " --altitude '2000 ft'").get("remarks");
    assertTrue(remarks.get(0).asText().contains("is it a sea-level reading?"));
  }

  /** Against the library fluids: corner taps, 0.07391 m pipe, 0.0222 m bore; C of its Reynolds. */
  @Test
  void plateAnswersAgreeWithEachOther() {
    JsonNode plate =
        json(
            "plate --bore '22.2 mm' --pipe '73.91 mm' --taps corner --drop '1 kPa'"
                + " --upstream '100 kPa' --temperature '20 degC' --humidity 0%");
    double massFlow = number(plate, "mass_flow_kg_per_s");
    double density = massFlow / number(plate, "volume_flow_m3_per_s");
    double ratio = 22.2 / 73.91;
    double again =
        number(plate, "discharge_coefficient")
            * number(plate, "expansibility")
            * Math.PI
            / 4
            * 0.0222
            * 0.0222
            * Math.sqrt(2 * density * 1000 / (1 - Math.pow(ratio, 4)));
    assertEquals(again, massFlow, massFlow * 1e-9);
    assertEquals(4 * massFlow / (Math.PI * 0.07391 * 1.8138e-5), number(plate, "reynolds"), 20);
    assertEquals("2003", plate.get("expansibility_form").asText());
    assertFalse(plate.get("extrapolation").asBoolean());
  }

  /** fluids, tests/test_flow_meter.py: 0.99747 (2003) and 0.99705 (1991) at β 0.3004, 1 kPa. */
  @Test
  void bothExpansibilityFormsCanBeHad() {
    String words =
        "plate --bore '22.2 mm' --pipe '73.9 mm' --taps flange --drop '1 kPa' --upstream"
            + " '100 kPa' --temperature '20 degC' --humidity 0%";
    assertEquals(0.99747, number(json(words), "expansibility"), 1e-5);
    assertEquals(0.99705, number(json(words + " --expansibility 1991"), "expansibility"), 1e-5);
  }

  @Test
  void aPlateWithoutAPipeIsMarkedAsAnExtrapolation() {
    JsonNode plate =
        json(
            "plate --bore '40 mm' --drop '10 inH2O' --upstream '101325 Pa' --temperature"
                + " '20 degC' --humidity 50%");
    assertTrue(plate.get("extrapolation").asBoolean());
    assertTrue(number(plate, "discharge_coefficient_u95_percent") > 2);
    assertTrue(plate.get("remarks").get(0).asText().contains("outside ISO 5167-2"));
    // Regression: 0.5961 + 0.000521 (1e6/Re)^0.7.
    double c = 0.5961 + 0.000521 * Math.pow(1e6 / number(plate, "reynolds"), 0.7);
    assertEquals(c, number(plate, "discharge_coefficient"), 1e-9);
  }

  /** Areas by an independent script that sweeps all segments between seat and valve. */
  @Test
  void valveAreasAndRegimes() {
    String valve =
        "valve --head '51.3 mm' --seat-width '1.8 mm' --seat-angle '45 deg' --throat '46 mm'"
            + " --stem '8 mm' --lift ";
    JsonNode low = json(valve + "'2 mm'");
    assertEquals(216.368399, number(low, "seat_area_mm2"), 216 * 1e-6);
    assertEquals(1, low.get("regime").asInt());
    JsonNode middle = json(valve + "'6 mm'");
    assertEquals(710.592008, number(middle, "seat_area_mm2"), 710 * 1e-6);
    assertEquals(2, middle.get("regime").asInt());
    assertEquals(3, json(valve + "'14 mm'").get("regime").asInt());
    JsonNode quarter = json(valve + "'12.825 mm'");
    assertEquals(0.25, number(quarter, "lift_ratio"), 1e-12);
    assertEquals(Math.PI * 51.3 * 51.3 / 4, number(quarter, "curtain_area_mm2"), 1e-9);
  }

  @Test
  void dischargeCoefficientsNameTheirArea() {
    JsonNode coefficients =
        json("valve --head '2.02 in' --seat-width '0.07 in' --seat-angle '45 deg' --throat"
                + " '1.81 in' --stem '0.342 in' --lift '0.500 in' --effective-area"
                + " '1.6977 in2'")
            .get("discharge_coefficient");
    assertEquals(0.535, number(coefficients, "curtain"), 3e-4);
    assertTrue(coefficients.has("seat") && coefficients.has("throat") && coefficients.has("head"));
  }

  /** Common practice 1.673; nozzle 1.63208 by an independent script; plate 1.6543 by hand. */
  @Test
  void rescaleSaysHowFarThePlainRootIsOff() {
    String words = "rescale --flow '100 cfm' --from '10 inH2O' --to '28 inH2O' --form ";
    JsonNode nozzle = json(words + "nozzle");
    assertEquals(163.20765, nozzle.get("flow").get("value").asDouble(), 1e-5);
    assertEquals("cfm", nozzle.get("flow").get("unit").asText());
    assertEquals(2.527, number(nozzle, "plain_root_error_percent"), 1e-3);
    JsonNode root = json(words + "root");
    assertEquals(167.3, root.get("flow").get("value").asDouble(), 0.05);
    assertEquals(2.527, number(root, "plain_root_error_percent"), 1e-3);
    JsonNode plate = json(words + "plate");
    assertEquals(165.43, plate.get("flow").get("value").asDouble(), 0.03);
    assertEquals(1.1, number(plate, "plain_root_error_percent"), 0.1);
    assertTrue(json(words + "plate --ratio 0.7").get("flow").get("value").asDouble() < 165.4);
  }

  /** Regression by hand: 14.42 N on a 2.02 in head at 28 inH2O. */
  @Test
  void forceAndWhatIsLeftOfTheSpring() {
    String words = "force --head '2.02 in' --pressure '28 inH2O'";
    assertEquals(14.42, number(json(words), "force_n"), 0.01);
    assertFalse(json(words).has("margin_n"));
    String spring = words + " --seat-load '10 N' --rate '2 N/mm' --lift '1 mm'";
    assertEquals(12 - 14.42, number(json(spring), "margin_n"), 0.01);
    assertEquals("opens", json(spring).get("acts").asText());
    JsonNode blowing = json(spring + " --direction blowing");
    assertEquals(12 + 14.42, number(blowing, "margin_n"), 0.01);
    assertEquals("shuts", blowing.get("acts").asText());
    JsonNode heavy = json(spring + " --valve-mass '100 g' --indicator-force '1 N'");
    assertEquals(12 - 14.42 - 0.98 - 1, number(heavy, "margin_n"), 0.01);
  }

  @Test
  void inchAndMetricGiveTheSameAnswer() {
    JsonNode inch =
        json(
            "plate --bore '1 in' --pipe '4 in' --taps radius --drop '10 inH2O' --upstream"
                + " '14.5 psi' --temperature '68 degF' --humidity 40%");
    JsonNode metric =
        json(
            "plate --bore '25.4 mm' --pipe '101.6 mm' --taps radius --drop '2490.8891 Pa'"
                + " --upstream '99973.9807 Pa' --temperature '20 degC' --humidity 0.4");
    for (String member : new String[] {"mass_flow_kg_per_s", "discharge_coefficient"}) {
      double expected = number(metric, member);
      assertEquals(expected, number(inch, member), expected * 1e-8);
    }
  }

  @Test
  void withoutJsonAPersonReadsLinesAndNotesGoToStandardError() {
    Run run = run("air --temperature '40 degC' --pressure '101325 Pa' --humidity 50%");
    assertEquals(0, run.code);
    assertTrue(run.out.contains("density"), run.out);
    assertTrue(run.out.contains("kg/m3"), run.out);
    assertTrue(run.err.startsWith("note: air temperature 40.0 °C"), run.err);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "air --temperature 23 --pressure '101325 Pa' --humidity 50%",
        "air --temperature '23 degC' --pressure '101325 cfm' --humidity 50%",
        "air --temperature '23 degC' --pressure '-5 Pa' --humidity 50%",
        "air --temperature '23 degC' --pressure '101325 Pa' --humidity 150%",
        "plate --bore '40 mm' --drop '-5 Pa' --upstream '1 bar' --temperature '20 degC'"
            + " --humidity 0%",
        "plate --bore '40 mm' --taps corner --drop '5 Pa' --upstream '1 bar' --temperature"
            + " '20 degC' --humidity 0%",
        "plate --bore '40 mm' --pipe '80 mm' --drop '5 Pa' --upstream '1 bar' --temperature"
            + " '20 degC' --humidity 0%",
        "plate --bore '40 mm' --pipe '30 mm' --taps corner --drop '5 Pa' --upstream '1 bar'"
            + " --temperature '20 degC' --humidity 0%",
        "plate --bore '40 mm' --drop '5 Pa' --upstream '1 bar' --temperature '20 degC'"
            + " --humidity 0% --expansibility 2022",
        "rescale --flow '100 cfm' --from '0 Pa' --to '28 inH2O'",
        "rescale --flow '100 cfm' --from '10 inH2O' --to '28 inH2O' --ratio 0.5",
        "force --head '2 in' --pressure '28 inH2O' --rate '1 N/mm'",
        "force --head '2 in' --pressure '28 inH2O' --seat-load '1 N' --lift '1 mm'",
        "force --head '2 in'"
      })
  void wrongUsageSaysWhatAndExitsWith2(String words) {
    Run run = run(words);
    assertEquals(2, run.code, words);
    assertEquals("", run.out);
    assertFalse(run.err.isBlank());
    assertFalse(run.err.contains("Exception"), run.err);
  }

  @ParameterizedTest
  @ValueSource(strings = {"air", "plate", "valve", "rescale", "force"})
  void eachQuestionShowsExamples(String question) {
    Run run = run(question + " --help");
    assertEquals(0, run.code);
    assertTrue(run.out.contains("Examples:\n  meniscus figure " + question), run.out);
    assertTrue(run.out.lines().allMatch(line -> line.length() <= 80), run.out);
  }

  /** fluids: long radius nozzle, D 73.91 mm, d 42.2 mm: C 0.98055 at ReD of 0.1 kg/s. */
  @Test
  void aNozzleAnswersWithItsStandardAndItsLimits() {
    JsonNode nozzle =
        json(
            "nozzle --kind long-radius --throat '42.2 mm' --pipe '73.91 mm' --drop '3.3 kPa'"
                + " --upstream '101325 Pa' --temperature '20 degC' --humidity 0%");
    double flow = number(nozzle, "mass_flow_kg_per_s");
    double reynolds = number(nozzle, "reynolds");
    assertEquals(4 * flow / (Math.PI * 0.07391 * 1.8138e-5), reynolds, 1e-3 * reynolds);
    assertEquals(
        0.9965 - 0.00653 * Math.sqrt(42.2 / 73.91) * Math.sqrt(1e6 / reynolds),
        number(nozzle, "discharge_coefficient"),
        1e-6);
    assertTrue(nozzle.get("within_limits").asBoolean());
    assertEquals(2, number(nozzle, "discharge_coefficient_u95_percent"), 1e-12);
  }

  @Test
  void beyondTheLimitsOfUseNoUncertaintyIsStated() {
    JsonNode venturi =
        json(
            "venturi --kind machined --throat '40 mm' --pipe '80 mm' --drop '1 kPa'"
                + " --upstream '101325 Pa' --temperature '20 degC' --humidity 0%");
    assertFalse(venturi.get("within_limits").asBoolean());
    assertTrue(venturi.get("discharge_coefficient_u95_percent").isNull());
    assertTrue(venturi.get("remarks").get(0).asText().contains("pipe Reynolds number"));
    JsonNode plate =
        json(
            "plate --bore '39 mm' --pipe '50 mm' --taps corner --drop '1 kPa' --upstream"
                + " '101325 Pa' --temperature '20 degC' --humidity 0%");
    assertTrue(plate.get("discharge_coefficient_u95_percent").isNull());
    Run nearlyOpen =
        run(
            "plate --bore '59 mm' --pipe '60 mm' --taps corner --drop '1 kPa' --upstream"
                + " '101325 Pa' --temperature '20 degC' --humidity 0%");
    assertEquals(2, nearlyOpen.code);
    assertTrue(nearlyOpen.err.contains("0.983 of the pipe"), nearlyOpen.err);
    Run pascals = run("air --temperature '20 degC' --pressure '1e9 Pa' --humidity 50%");
    assertEquals(2, pascals.code);
    assertTrue(pascals.err.contains("10 kPa to 1 MPa"), pascals.err);
  }

  @Test
  void speedsAreThoseOfFlowAndAreaAndOfAProbe() {
    JsonNode mean = json("speed --flow '250 cfm' --area '2.2 in2'");
    assertEquals(272.727 * 0.3048, number(mean, "speed_m_per_s"), 1e-3);
    JsonNode probe =
        json(
            "speed --probe '24 inH2O' --static '98000 Pa' --temperature '20 degC'"
                + " --humidity 0%");
    // Saint-Venant: v² = 2 κ/(κ−1) R T0 (1 − (p/p0)^((κ−1)/κ)) with κ 1.4 and R 287.05.
    double ratio = 98_000 / (98_000 + 24 * 249.08891);
    double speed = Math.sqrt(7 * 287.05 * 293.15 * (1 - Math.pow(ratio, 1 / 3.5)));
    assertEquals(speed, number(probe, "speed_m_per_s"), 1e-3 * speed);
    assertEquals(2, run("speed --flow '250 cfm'").code);
    assertEquals(2, run("speed --probe '60 psi' --static '98 kPa'").code);
  }

  /** 101.6, 51.3, 88.9 mm, 6500 a minute, mean coefficient 0.35: Z 0.629 at 343 m/s. */
  @Test
  void theMachIndexIsTaylors() {
    JsonNode index =
        json(
            "mach-index --bore '101.6 mm' --stroke '88.9 mm' --rpm 6500 --area '723.43 mm2'"
                + " --temperature '20 degC'");
    assertEquals(
        0.629 * 343 / number(index, "sound_speed_m_per_s"), number(index, "mach_index"), 1e-3);
    assertTrue(index.get("remarks").get(0).asText().contains("above 0.5 to 0.6"));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "force --head '50 mm' --pressure '1e9 Pa'",
        "force --head '2 m' --pressure '7 kPa'",
        "rescale --flow '100 cfm' --from '10 inH2O' --to '200 kPa'",
        "rescale --flow '100 cfm' --from '10 inH2O' --to '60 kPa'",
        "rescale --flow '100 cfm' --from '10 inH2O' --to '30 kPa' --form plate",
        "speed --flow '250 cfm' --area '0.02 in2'",
        "speed --probe '20 kPa' --static '-98 kPa' --temperature '20 degC' --humidity 0%",
        "mach-index --bore '4 m' --stroke '3.5 m' --rpm 6500 --area '723 mm2' --temperature '20"
            + " degC'",
        "mach-index --bore '4 in' --stroke '3.5 in' --rpm 1e6 --area '723 mm2' --temperature '20"
            + " degC'",
        "mach-index --bore '4 in' --stroke '3.5 in' --rpm 6500 --area '723 mm2' --temperature"
            + " '2000 degC'",
        "valve --head '40 mm' --seat-width '1.5 mm' --seat-angle '45 deg' --throat '34 mm' --stem"
            + " '7 mm' --lift '8 in'",
        "valve --head '40 mm' --seat-width '1.5 mm' --seat-angle '45 deg' --throat '34 mm' --stem"
            + " '7 mm' --lift '8 mm' --effective-area '2000 mm2'",
        "nozzle --kind isa-1932 --throat '45 mm' --pipe '50 mm' --drop '3 kPa' --upstream '1013"
            + " hPa' --temperature '20 degC' --humidity 0%",
        "venturi --kind cast --throat '79 mm' --pipe '80 mm' --drop '3 kPa' --upstream '1013 hPa'"
            + " --temperature '20 degC' --humidity 0%",
        "air --temperature '900 degC' --pressure '1013 hPa' --humidity 0%",
        "plate --bore '44 mm' --drop '60 kPa' --upstream '1013 hPa' --temperature '20 degC'"
            + " --humidity 0%"
      })
  void whatLiesOutsideIsRefusedOrMarked(String question) {
    Run run = run(question + " --json");
    boolean refused = run.code == 2 && !run.err.isBlank();
    boolean marked = run.code == 0 && run.out.contains("\"remarks\":[\"");
    assertTrue(refused || marked, run.code + ": " + run.out + run.err);
  }

  @Test
  void twoTeedGaugesAreComparedOverTheirRange() {
    String second = " --second '2.00 inH2O, 7.88 inH2O, 19.6 inH2O' --accuracy 0.25%";
    JsonNode wrong =
        json(
            "gauges --first '2.01 inH2O, 8.04 inH2O, 20.0 inH2O'"
                + second
                + " --step '0.01 inH2O'");
    // 18.0 against 17.6 inH2O over the span: 2 %.
    assertEquals(2.1, number(wrong, "gain_percent"), 0.3);
    assertFalse(wrong.get("agree").asBoolean());
    assertTrue(wrong.get("remarks").get(0).asText().contains("one of them is wrong"));
    JsonNode right =
        json(
            "gauges --first '2.00 inH2O, 7.89 inH2O, 19.6 inH2O'"
                + second
                + " --step '0.01 inH2O'");
    assertTrue(right.get("agree").asBoolean());
    assertEquals(2, run("gauges --first '2 inH2O'" + second + " --step '0.01 inH2O'").code);
  }
}
