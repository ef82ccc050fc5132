package meniscus.recorder.upkeep;

import meniscus.core.pipeline.MessageWords;
import meniscus.core.quantity.Text;
import meniscus.core.steadiness.Judged;
import meniscus.recorder.feed.Measuring;

/** Why there is no mean: what was seen, by how much it was not what is needed. */
final class NoReading {

  private NoReading() {}

  /**
   * @param at the bench, in whose units pressures are told
   * @param asked what was waited for
   */
  static String words(BenchAt at, String range, Measuring.Asked asked, Measuring.NotRead none) {
    return Text.of(
            "no reading at %s on range \"%s\" after %.0f s: ",
            at.text(asked.testPressurePa()), range, none.seconds())
        + none.judged().map(NoReading::flow).orElseGet(() -> pressure(at, asked, none));
  }

  private static String flow(Judged judged) {
    return "the flow is "
        + judged.verdict().word()
        + (judged.reasons().isEmpty() ? "" : ": " + String.join("; ", judged.reasons()));
  }

  private static String pressure(BenchAt at, Measuring.Asked asked, Measuring.NotRead none) {
    if (!(none.highestPa() >= none.lowestPa())) {
      return "the test pressure's gauge sent nothing that could be read";
    }
    double lowest = (1 - asked.band()) * asked.testPressurePa();
    double highest = (1 + asked.band()) * asked.testPressurePa();
    String stood =
        "the test pressure lay between "
            + at.text(none.lowestPa())
            + " and "
            + at.text(none.highestPa());
    if (none.highestPa() < lowest || none.lowestPa() > highest) {
      return stood
          + ", never within "
          + at.text(lowest)
          + " to "
          + at.text(highest)
          + (none.highestPa() < lowest ? ": the blower does not reach it" : "");
    }
    if (!none.roomKnown()) {
      return "the room's air was not read: see that its station sends";
    }
    return none.torn()
        .map(MessageWords::why)
        .map(words -> "averaging began anew again and again, last because " + words)
        .orElse(stood + " and did not rest in its band");
  }
}
