package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.Locale;
import java.util.Map;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * The full tables of docs/figures.md. Seeds 1 to 99 were used to choose rules and constants; those
 * here (9001 and up) only to report. Noise kinds ar2_0.8 and threescale were never looked at while
 * choosing.
 */
@Tag("bench")
class JudgeFiguresTest {

  private static final int COUNT = Integer.getInteger("meniscus.trials", 2000);
  private static final double[][] SETTLINGS = {{-0.2, 0.5}, {0.4, 1.5}, {0, 0}};

  @Test
  void coverageAndTimeWithACalmRecord() {
    coverage(30, 9001);
  }

  @Test
  void coverageAndTimeOnDataAlone() {
    coverage(0, 9002);
  }

  private static void coverage(int calmRuns, long seed) {
    say("coverage, calm runs %d, seed %d, %d signals a row", calmRuns, seed, COUNT);
    for (double[] settling : SETTLINGS) {
      for (String kind : Signals.ALL) {
        String change = "settle " + settling[0] + "/" + settling[1];
        Trials trials = new Trials(kind, change, calmRuns == 0 ? 0 : 0.08, calmRuns, seed);
        Trials.Table table = trials.run(COUNT, 0.5);
        double oracle =
            Signals.oracle(
                Signals.longRun(kind, Trials.HERTZ),
                Trials.SD,
                settling[0],
                settling[1],
                Trials.TARGET);
        say(
            "%-14s %-10s coverage %5.1f %%  time %6.2f s, oracle %6.2f s, ratio %5.2f, capped %.1f %%",
            change,
            kind,
            table.coverage(),
            table.meanPreciseAt(),
            oracle,
            table.meanPreciseAt() / oracle,
            100.0 * table.capped() / COUNT);
        double claimed = claimed(kind, calmRuns);
        assertTrue(Binomial.couldBe(table.held(), COUNT, claimed), kind + " " + change);
      }
    }
  }

  /**
   * 95 % are claimed; where no calm record knows noise as slow as 2 s less is said to be reached
   * (docs/averaging.md), and one cell in twenty may lie lower by what is asked of the average.
   */
  private static double claimed(String kind, int calmRuns) {
    return kind.equals("ar1_2") && calmRuns == 0 ? 0.9 : 0.93;
  }

  @Test
  void falseAlarms() {
    int alarms = 0;
    int all = 0;
    for (String kind : Signals.ALL) {
      for (String change : new String[] {"calm", "settle 0.4/1.5"}) {
        int count = Math.max(10, COUNT / 2);
        Trials.Table table = new Trials(kind, change, 0.08, 30, 9003).run(count, 20);
        say("calm points %-10s %-14s %d of %d not steady", kind, change, table.notSteady(), count);
        alarms += table.notSteady();
        all += count;
      }
    }
    say(
        "false alarms %d of %d = %.3f %%, 95 %% upper bound %.3f %%",
        alarms, all, 100.0 * alarms / all, 100 * Binomial.upperBound(alarms, all));
    assertTrue(Binomial.atMost(alarms, all, 0.002), alarms + " of " + all);
  }

  @Test
  void detection() {
    for (double jitter : new double[] {0, 0.04, 0.08}) {
      for (String change :
          new String[] {"x2", "x1.5", "two 5/1", "two 2/1", "two 5/3", "two 2/3"}) {
        for (String kind : new String[] {"white", "ar1_0.05", "ar1_0.2", "ar1_0.5", "mix"}) {
          int count = Math.max(10, COUNT / 5);
          Trials.Table table = new Trials(kind, change, jitter, 30, 9004).run(count, 20);
          say(
              "jitter %.2f %-8s on %-9s found %6.2f %% of %d",
              jitter, change, kind, table.notSteadyPercent(), count);
        }
      }
    }
  }

  /** What air unlike the calm record, and jumps, are called. */
  @Test
  void naming() {
    String[][] cases = {
      {"ar1_0.05", "ar1_0.05", "x1.4"},
      {"ar1_0.05", "ar1_0.2", "x1.4"},
      {"ar1_0.1", "ar1_0.5", "x1.2"},
      {"ar1_0.05", "ar2_1.5", "x1.4"},
      {"ar1_0.05", "threescale", "x1.5"},
      {"ar1_0.05", "ar1_0.1", "two 2/1"},
      {"ar1_0.2", "ar1_0.2", "two 2/3"},
      {"ar1_0.05", "ar1_0.1", "two 5/1"}
    };
    for (String[] one : cases) {
      int count = Math.max(10, COUNT / 5);
      JudgeSettings settings = JudgeSettings.usual().withCalm(Trials.calm(one[0], 10, 0.04, 9005));
      Trials trials = new Trials(one[1], one[2], 0.04, 10, 9005);
      Map<Verdict, Integer> said = new EnumMap<>(Verdict.class);
      for (int i = 0; i < count; i++) {
        said.merge(trials.one(i, settings).verdict(), 1, Integer::sum);
      }
      say("calm record %s, reading %s %s: %s of %d", one[0], one[1], one[2], said, count);
      assertTrue(one[2].startsWith("two") || !said.containsKey(Verdict.SWITCHING));
    }
  }

  private static void say(String format, Object... values) {
    System.out.println(String.format(Locale.ROOT, format, values));
  }
}
