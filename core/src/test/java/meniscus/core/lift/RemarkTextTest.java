package meniscus.core.lift;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.EnumSet;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import meniscus.core.lift.Remark.Kind;
import org.junit.jupiter.api.Test;

/** Sentences of remarks, letter by letter as points.csv and journals hold them. */
public class RemarkTextTest {

  /** One of each kind. */
  public static final Map<String, Remark> WRITTEN =
      Map.of(
          "element drop and test pressure read by eye: fluctuation, jumps and drift cannot be seen",
          Remark.about(Kind.READ_BY_EYE, "element drop and test pressure"),
          "no thermometer in the plenum: motor heat assumed",
          Remark.of(Kind.MOTOR_HEAT_ASSUMED),
          "room temperature is missing: nothing was read for 12 s, the last reading stands",
          Remark.about(Kind.AIR_MISSING, "room temperature", 12),
          "the drop over the flow element, 2.50 Pa, is below three times the noise of its gauge"
              + " (1.00 Pa): choose a smaller range",
          Remark.of(Kind.DROP_IN_THE_NOISE, 2.5, 1),
          "the drop over the flow element, 40.0 Pa, lies outside its curve: extrapolated",
          Remark.of(Kind.BEYOND_THE_CURVE, 40),
          "the drop over the flow element, -40.5 Pa, lies outside the calibrated 100 to 4000 Pa:"
              + " extrapolated",
          Remark.of(Kind.BEYOND_THE_CALIBRATION, -40.5, 100, 4000),
          "barometer: 1013.0 hPa at 600 m would be 1087.5 hPa at sea level, which is rare weather",
          Remark.about(
              Kind.BAROMETER,
              "1013.0 hPa at 600 m would be 1087.5 hPa at sea level, which is rare weather"),
          "air of 8.0 °C and 992 hPa: its density is stated for 15 to 27 °C and 600 to 1100 hPa"
              + " (CIPM-2007), and is less sure here",
          Remark.of(Kind.AIR_OUT_OF_RANGE, 8, 992),
          "cannot see fluctuation above 4.9 Hz",
          Remark.said("cannot see fluctuation above 4.9 Hz"));

  @Test
  void everyKindIsWrittenAndReadBack() {
    WRITTEN.forEach(
        (sentence, remark) -> {
          assertEquals(sentence, remark.sentence());
          assertEquals(remark, RemarkText.remark(sentence));
        });
    Set<Kind> seen = WRITTEN.values().stream().map(Remark::kind).collect(Collectors.toSet());
    assertEquals(EnumSet.allOf(Kind.class), seen);
  }

  /** More digits than a sentence has room for are lost in it, and nothing else. */
  @Test
  void aSentenceReadBackIsTheSameSentence() {
    for (double odd : new double[] {1 / 3.0, -1e9 / 7, 0, -0.0, Double.NaN, 1 / 0.0, 5e-324}) {
      Remark remark = Remark.of(Kind.BEYOND_THE_CALIBRATION, odd, 1e5 / 3, odd);
      Remark read = RemarkText.remark(remark.sentence());
      assertEquals(Kind.BEYOND_THE_CALIBRATION, read.kind(), remark.sentence());
      assertEquals(remark.sentence(), read.sentence());
    }
  }

  @Test
  void aSentenceOfAnotherVersionIsKeptLetterByLetter() {
    for (String sentence :
        new String[] {
          "",
          "%s",
          "=1+1",
          "the drop over the flow element, x Pa, lies outside its curve: extrapolated"
        }) {
      assertEquals(Remark.said(sentence), RemarkText.remark(sentence));
      assertEquals(sentence, RemarkText.remark(sentence).sentence());
    }
  }
}
