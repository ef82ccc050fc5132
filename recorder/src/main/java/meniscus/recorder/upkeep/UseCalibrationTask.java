package meniscus.recorder.upkeep;

import java.io.IOException;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalibrationRef;

/**
 * Puts a calibration in use that is kept aside, for a reason in writing.
 *
 * @param chosen which one
 * @param why it is to be used
 */
record UseCalibrationTask(UpkeepPlace place, Bench bench, CalibrationRef chosen, String why)
    implements UpkeepTask {

  static final String WORD = "use";

  static UseCalibrationTask of(UpkeepRequest request, UpkeepPlace place) throws WrongRequest {
    Bench bench = place.bench();
    String named = request.text("calibration").orElse("");
    CalibrationRef chosen =
        bench.upkeep().calibrations().stream()
            .filter(taken -> named.length() >= 6 && taken.sha256().startsWith(named))
            .findFirst()
            .orElseThrow(
                () ->
                    WrongRequest.notUnderstood(
                        "calibration",
                        "names a calibration of this bench by the first letters of its version, six"
                            + " or more"));
    String why =
        request
            .text("use_anyway")
            .filter(text -> !text.isBlank())
            .orElseThrow(
                () -> WrongRequest.notUnderstood("use_anyway", "says why it is to be used"));
    if (chosen.standing().inUse()) {
      throw WrongRequest.notNow("that calibration is in use already");
    }
    return new UseCalibrationTask(place, bench, chosen, why);
  }

  @Override
  public String word() {
    return WORD;
  }

  @Override
  public String title() {
    return "Calibration, " + chosen.direction().word() + ", range " + chosen.range();
  }

  @Override
  public boolean simulated() {
    return place.simulated(bench);
  }

  @Override
  public UpkeepOutcome work(BenchOperator operator) throws IOException {
    place.write(
        bench.with(
            upkeep ->
                upkeep.withStanding(chosen.sha256(), new CalibrationRef.Standing(true, why))));
    UpkeepOutcome.Telling telling = new UpkeepOutcome.Telling();
    telling.json.put("calibration", chosen.sha256()).put("why", why);
    telling.bad(
        "in use against advice: calibration "
            + chosen.sha256().substring(0, 12)
            + " on "
            + chosen.direction().word()
            + ", range "
            + chosen.range()
            + ": "
            + why);
    return telling.as(UpkeepOutcome.Kind.DOUBT);
  }
}
