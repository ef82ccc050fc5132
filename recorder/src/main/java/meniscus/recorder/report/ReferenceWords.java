package meniscus.recorder.report;

import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;

/** What the flows of a plan are flows of, in one line. */
final class ReferenceWords {

  private ReferenceWords() {}

  /**
   * Names the trade's two cubic feet: standard ones are counted in an agreed air, actual ones in
   * the air of the moment.
   */
  static String of(Plan plan) {
    Plan.Reference reference = plan.reference();
    Unit flow = plan.units().flow();
    boolean cfm = flow == Unit.CUBIC_FOOT_PER_MINUTE;
    return "flows in "
        + flow.symbol()
        + " of reference air ("
        + InUnits.number(Unit.DEGREE_CELSIUS.fromSi(reference.temperatureK()), 1)
        + " °C, "
        + InUnits.number(reference.pressurePa() / 100, 1)
        + " hPa, humidity "
        + InUnits.number(100 * reference.relativeHumidity(), 0)
        + " %) at "
        + new InUnits(plan.units()).pressure(reference.testPressurePa())
        + (cfm
            ? ": scfm where that air is the standard, not acfm of the room's air that day"
            : ", not of the room's air that day");
  }
}
