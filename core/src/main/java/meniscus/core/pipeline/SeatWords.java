package meniscus.core.pipeline;

import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;
import meniscus.core.lift.SeatReadings;

/**
 * What is said to the operator of the dial on the seat.
 *
 * @param in the units that the operator chose
 */
record SeatWords(InUnits in) {

  OperatorMessage before(boolean seesLift) {
    return seat(
        (seesLift
                ? "let the valve rest shut for two seconds, blower off: the dial is read on the seat"
                : "with the valve shut, type what the dial shows, such as \"seat "
                    + in.smallLift(0)
                    + "\"")
            + "; read again after the last lift, lifts are known to "
            + in.smallLift(Plan.SetUp.LIFT_ZERO_READ_TWICE_M)
            + " instead of "
            + in.smallLift(Plan.SetUp.USUAL_LIFT_ZERO_M)
            + " (or go on without)");
  }

  OperatorMessage after(boolean seesLift) {
    return seat(
        (seesLift
                ? "stop the blower and let the valve shut: the dial is read on the seat once more"
                : "let the valve shut and type what the dial shows now: \"seat ...\"")
            + "; \"stop\" or "
            + SeatWatch.waitsSeconds()
            + " s of waiting end the test without");
  }

  OperatorMessage read(double metres, SeatReadings readings) {
    return seat(shows(metres, readings));
  }

  private String shows(double metres, SeatReadings readings) {
    String shows = "the dial shows " + in.smallLift(metres) + " on the seat";
    if (!readings.both()) {
      return readings.beforeM().isPresent()
          ? shows + ", before the first lift"
          : shows + "; it was not read before the first lift, so it tells nothing of the zero";
    }
    return shows
        + ", "
        + in.smallLift(Math.abs(readings.movedM()))
        + (readings.movedM() < 0 ? " less" : " more")
        + " than before the first lift"
        + (readings.slipped()
            ? ": something slipped, so low lifts are not worth much; see what holds the dial, and"
                + " test again"
            : "; lifts count from there");
  }

  OperatorMessage nothingRests(boolean seesLift) {
    return refused(
        seesLift
            ? "the dial does not rest near its zero: let the valve shut, or type what it shows, such"
                + " as \"seat "
                + in.smallLift(0)
                + "\""
            : "type what the dial shows, such as \"seat " + in.smallLift(0) + "\"");
  }

  OperatorMessage tooFar(double metres) {
    return refused(
        in.smallLift(metres)
            + " is further than "
            + in.smallLift(SeatReadings.FURTHEST_M)
            + " from zero: shut the valve, or set the dial to zero on the seat, and read it again");
  }

  private static OperatorMessage seat(String sentence) {
    return new OperatorMessage(OperatorMessage.Kind.SEAT, sentence);
  }

  private static OperatorMessage refused(String sentence) {
    return new OperatorMessage(OperatorMessage.Kind.REFUSED, sentence);
  }
}
