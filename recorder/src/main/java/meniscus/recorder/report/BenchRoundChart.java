package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.compare.BenchRound;
import meniscus.core.roundrobin.RoundRobin;
import meniscus.recorder.report.DotChart.Dot;
import meniscus.recorder.report.DotChart.Level;

/** The degrees of equivalence of a round robin, drawn. */
public final class BenchRoundChart {

  private BenchRoundChart() {}

  /** An SVG, complete by itself: each bench's difference in the mean flow, with its interval. */
  public static String svg(BenchRound round) {
    List<RoundRobin.Equivalence> benches = round.mean().benches();
    double percent = 100 / round.mean().reference().value();
    List<Dot> dots = new ArrayList<>();
    for (int i = 0; i < benches.size(); i++) {
      RoundRobin.Equivalence one = benches.get(i);
      dots.add(
          new Dot(
              i + 1,
              percent * one.difference().value(),
              OptionalDouble.of(percent * one.difference().u95()),
              0,
              one.standsOut()));
    }
    Markup out = new Markup();
    DotChart.open(
            out,
            "Each bench beside all together",
            "bench",
            "from all together, %",
            dots,
            List.of(new Level(0, "all", "")),
            tick -> name(benches, tick))
        .dots(dots);
    return Charts.alone(out.toString(), DotChart.HEIGHT);
  }

  private static String name(List<RoundRobin.Equivalence> benches, double tick) {
    return tick == Math.rint(tick) && tick >= 1 && tick <= benches.size()
        ? benches.get((int) tick - 1).bench()
        : "";
  }
}
