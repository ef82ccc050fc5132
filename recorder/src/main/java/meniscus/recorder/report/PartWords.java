package meniscus.recorder.report;

import java.util.List;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;

/** What belongs to a port besides its shape, in short: valve job, valves, spring, indicator. */
final class PartWords {

  private PartWords() {}

  static List<String> of(Plan plan) {
    return List.of(said(plan.part().valveJob()), valves(plan), spring(plan), indicator(plan));
  }

  static String valves(Plan plan) {
    return plan.setUp().valvesOpened()
        + " of "
        + plan.setUp().valvesFitted()
        + " opened, "
        + plan.setUp().valveHeadsM().stream()
            .map(head -> ChangeWords.length(plan.units().lift(), head))
            .collect(Collectors.joining(", "));
  }

  static String spring(Plan plan) {
    return plan.setUp()
        .spring()
        .map(s -> InUnits.number(s.seatLoadN(), 0) + " N on the seat")
        .orElse("not described");
  }

  /** Of port and chamber, where they were measured. */
  static String volumes(Plan plan) {
    Plan.Sizes sizes = plan.part().sizes();
    String port = volume("port", sizes.portM3());
    String chamber = volume("chamber", sizes.chamberM3());
    return said(port + (port.isEmpty() || chamber.isEmpty() ? "" : ", ") + chamber);
  }

  private static String volume(String what, OptionalDouble cubicMetres) {
    return cubicMetres.isPresent()
        ? what + " " + InUnits.number(1e6 * cubicMetres.getAsDouble(), 1) + " cm³"
        : "";
  }

  static String indicator(Plan plan) {
    return said(plan.setUp().indicatorTouches());
  }

  private static String said(String text) {
    return text.isBlank() ? "not said" : text;
  }
}
