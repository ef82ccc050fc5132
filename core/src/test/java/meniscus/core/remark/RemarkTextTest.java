package meniscus.core.remark;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import meniscus.core.remark.Remark.Kind;
import org.junit.jupiter.api.Test;

/** Sentences of remarks, letter by letter as points.csv and journals hold them. */
public class RemarkTextTest {

  /** One of each kind. */
  public static final Map<String, Remark> WRITTEN = new LinkedHashMap<>();

  static {
    written(
        "element drop and test pressure read by eye: fluctuation, jumps and drift cannot be seen",
        Remark.about(Kind.READ_BY_EYE, "element drop and test pressure"));
    written("no thermometer in the plenum: motor heat assumed", Remark.of(Kind.MOTOR_HEAT_ASSUMED));
    written(
        "room temperature is missing: nothing was read for 12 s, the last reading stands",
        Remark.about(Kind.AIR_MISSING, "room temperature", 12));
    written(
        "the drop over the flow element, 2.50 Pa, is below three times the noise of its gauge"
            + " (1.00 Pa): choose a smaller range",
        Remark.of(Kind.DROP_IN_THE_NOISE, 2.5, 1));
    written(
        "the drop over the flow element, 40.0 Pa, lies outside its curve: extrapolated",
        Remark.of(Kind.BEYOND_THE_CURVE, 40));
    written(
        "the drop over the flow element, -40.5 Pa, lies outside the calibrated 100 to 4000 Pa:"
            + " extrapolated",
        Remark.of(Kind.BEYOND_THE_CALIBRATION, -40.5, 100, 4000));
    String weather = "1013.0 hPa at 600 m would be 1087.5 hPa at sea level, which is rare weather";
    written("barometer: " + weather, Remark.about(Kind.BAROMETER, weather));
    written(
        "air of 8.0 °C and 992 hPa: its density is stated for 15 to 27 °C and 600 to 1100 hPa"
            + " (CIPM-2007), and is less sure here",
        Remark.of(Kind.AIR_OUT_OF_RANGE, 8, 992));
    written(
        "set aside: the spring held the valve",
        Remark.about(Kind.SET_ASIDE, "the spring held the valve"));
    written("40 of 200 readings are spikes", Remark.of(Kind.SPIKES, 40, 200));
    written(
        "no readings for 3.2 s: the instrument is dropping out", Remark.of(Kind.DROPPING_OUT, 3.2));
    written("31 % of the readings are missing", Remark.of(Kind.READINGS_MISSING, 31));
    written(
        "7 of 200 readings are outside the gauge's range",
        Remark.of(Kind.OUTSIDE_THE_RANGE, 7, 200));
    written(
        "12 of 200 readings stand at the high end of the gauge's range: it is saturated",
        Remark.about(Kind.SATURATED, "high", 12, 200));
    written(
        "30 of 200 readings are exactly 1.25000e-05, the most seen: the gauge is saturated",
        Remark.about(Kind.CLIPPED, "most", 30, 200, 1.25e-5));
    written(
        "the reading stood at 0.000512300 for 9.5 s without moving, though its resolution is"
            + " 1.00000e-07: stuck",
        Remark.of(Kind.STUCK, 5.123e-4, 9.5, 1e-7));
    written(
        "the reading stood at one value for 9.5 s without moving, though its resolution is"
            + " 1.00000e-07: stuck",
        Remark.of(Kind.STUCK_SOMEWHERE, 9.5, 1e-7));
    written(
        "the flow has stood still for 4.2 s, as no air does: a gauge is stuck",
        Remark.of(Kind.FLOW_STANDS_STILL, 4.2));
    written(
        "the gauge of the test pressure has shown 28.1000 inH2O for 12 s without moving, though its"
            + " smallest step is 0.010 inH2O: it is stuck; see to its tubing and cable, switch it"
            + " off and on",
        new Remark(
            Kind.FROZEN, List.of("test pressure", "inH2O", "inH2O"), List.of(28.1, 12.0, 0.01)));
    written("only 1.5 s of usable readings; 8 s are needed", Remark.of(Kind.TOO_BRIEF, 1.5, 8));
    written("no usable readings yet; 8 s are needed", Remark.of(Kind.NOTHING_USABLE, 8));
    written(
        "only 4.0 s of the 8 s that a full verdict takes: slow switching may be missed",
        Remark.of(Kind.SWITCHING_MAY_BE_MISSED, 4, 8));
    written(
        "only 4.0 s of the 20 s that tell slow fluctuation where no calm record knows it",
        Remark.of(Kind.TOO_BRIEF_ALONE, 4, 20));
    written("the asked ±0.50 % is not reached: ±0.81 %", Remark.of(Kind.NOT_PRECISE, 0.5, 0.81));
    written(
        "jumps between levels -2.1 % and +1.9 % from the mean, 52 % of the time at the higher,"
            + " staying about 0.8 s and 0.9 s, 14 jumps",
        Remark.of(Kind.JUMPS, -2.1, 1.9, 52, 0.8, 0.9, 14));
    written("the level moved by 1.2 % and does not come to rest", Remark.of(Kind.LEVEL_MOVED, 1.2));
    written("the level still has 0.35 % to go", Remark.of(Kind.LEVEL_MOVES, 0.35));
    written(
        "the level cannot be told from zero: its fluctuation is compared with nothing",
        Remark.of(Kind.NOT_TOLD_FROM_ZERO));
    written(
        "fluctuation from block to block is 2.10 times the calm record's, limit 1.45",
        Remark.of(Kind.ROUGH, 2.1, 1.45));
    written(
        "quick fluctuation is 2.10 times the calm record's, limit 1.45",
        Remark.of(Kind.ROUGH_QUICKLY, 2.1, 1.45));
    written(
        "slow fluctuation (1 s means) is 2.10 times the calm record's, limit 1.45",
        Remark.of(Kind.ROUGH_SLOWLY, 2.1, 1.45));
    written(
        "the level wanders by about 1.3 %, beyond the calm record: rougher air, or two levels too"
            + " near to be told apart",
        Remark.of(Kind.LEVEL_WANDERS, 1.3));
    written(
        "the level wanders by 4.1 % from second to second and 7.0 % from block to block, more than"
            + " a healthy bench does (3 % and 6 %)",
        Remark.of(Kind.WANDERS_UNHEALTHILY, 4.1, 7, 3, 6));
    written(
        "no calm record: fluctuation is not compared with the bench's own",
        Remark.of(Kind.NO_CALM_RECORD));
    written(
        "the noise is unlike the calm record: averaged on its own evidence (if a plate shows it"
            + " too, take a new calm record)",
        Remark.of(Kind.UNLIKE_THE_CALM_RECORD));
    written(
        "mains ripple of 1.2e+02 %, seen at 0.500 Hz: taken out; look at earth, shield and supply"
            + " of the gauge",
        Remark.of(Kind.MAINS_RIPPLE, 120, 0.5));
    written("3 of 200 readings cut out as spikes", Remark.of(Kind.SPIKES_CUT, 3, 200));
    written(
        "1.5 % of the readings were dropped, the longest gap 0.32 s",
        Remark.of(Kind.READINGS_DROPPED, 1.5, 0.32));
    written(
        "the gauge counts in steps of 0.40 %: less than that cannot be seen",
        Remark.of(Kind.COARSE_GAUGE, 0.4));
    written("cannot see fluctuation above 4.9 Hz", Remark.of(Kind.SLOW_GAUGE, 4.9));
    written(
        "jumps of up to 2.4 % that stay about 1 s, or faster ones, would not show; a longer reading"
            + " or a quicker, finer gauge would show them",
        Remark.of(Kind.COULD_HIDE, 2.4));
    written(
        "at 10.00 readings/s a 50 Hz mains ripple would look like a steady shift: averaging may not"
            + " remove it",
        Remark.of(Kind.MAINS_COULD_SHIFT, 10, 50));
    written(
        "at 9.990 readings/s a 50 Hz mains ripple would look like a swing of 0.050 Hz: averaging"
            + " may not remove it",
        Remark.of(Kind.MAINS_COULD_SWING, 9.99, 50, 0.05));
    String earlier = "the reading is rough, as an earlier version said";
    written(earlier, Remark.said(earlier));
  }

  private static void written(String sentence, Remark remark) {
    WRITTEN.put(sentence, remark);
  }

  @Test
  void everyKindIsWrittenAndReadBack() {
    WRITTEN.forEach(
        (sentence, remark) -> {
          assertEquals(sentence, RemarkText.sentence(remark));
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
      Remark read = RemarkText.remark(RemarkText.sentence(remark));
      assertEquals(Kind.BEYOND_THE_CALIBRATION, read.kind(), RemarkText.sentence(remark));
      assertEquals(RemarkText.sentence(remark), RemarkText.sentence(read));
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
      assertEquals(sentence, RemarkText.sentence(RemarkText.remark(sentence)));
    }
  }

  /** As a reading of some seconds has it, with a verdict of 20 s, and with one of 8 s. */
  @Test
  void thatAReadingIsTooShortIsSaidOnceByTheLongestTime() {
    Remark alone = Remark.of(Kind.TOO_BRIEF_ALONE, 4, 20);
    Remark spikes = Remark.of(Kind.SPIKES_CUT, 1, 90);
    for (Remark full :
        List.of(
            Remark.of(Kind.TOO_BRIEF, 4, 20),
            Remark.of(Kind.NOTHING_USABLE, 20),
            Remark.of(Kind.SWITCHING_MAY_BE_MISSED, 4, 20))) {
      assertEquals(
          List.of(RemarkText.sentence(full), RemarkText.sentence(spikes)),
          RemarkText.sentences(List.of(full, spikes, alone)));
    }
    Remark sooner = Remark.of(Kind.TOO_BRIEF, 4, 8);
    assertEquals(2, RemarkText.sentences(List.of(sooner, alone)).size());
    assertEquals(1, RemarkText.sentences(List.of(alone)).size());
  }
}
