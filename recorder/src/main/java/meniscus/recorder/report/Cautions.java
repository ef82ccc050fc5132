package meniscus.recorder.report;

import java.util.List;

/** What stands at the end of every report. */
final class Cautions {

  private static final List<String> ALL =
      List.of(
          "Flow on a bench is steady flow of cold air; what an engine makes of it also depends on"
              + " cam, speed and the rest of the engine.",
          "When an exhaust valve opens the gas in the cylinder leaves it choked, at several times"
              + " the pressure outside; a bench at 28 inH2O says nothing of that part.",
          "A discharge coefficient belongs to its pressure ratio: do not carry it over to a running"
              + " engine's.",
          "More steady flow can cost swirl or tumble, and a larger port is a slower one at every"
              + " engine speed; both can cost more than the flow gives.",
          "Lifts above what the cam gives the valve tell nothing of this engine, and count in the"
              + " average of the lifts all the same.",
          "Metal that is gone does not come back: leave enough wall to water jackets, oil and"
              + " bolts, and check it before cutting on. A shortened valve guide wears valve and"
              + " seat sooner.",
          "The engine maker's limits and the judgement of a qualified machinist stand above"
              + " anything written here.",
          "At the bench: valve springs store energy, blowers are loud and mains-powered, chips"
              + " and dust harm eyes and lungs. Follow local codes, wear protection.");

  private Cautions() {}

  static void write(Markup out) {
    out.open("section", "class", "together last");
    out.leaf("h2", "Cautions");
    out.open("ul", "class", "cautions");
    ALL.forEach(caution -> out.leaf("li", caution));
    out.close().close().line();
  }
}
