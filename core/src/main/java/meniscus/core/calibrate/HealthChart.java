package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.bench.Bench;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;

/**
 * Control chart for single values (Shewhart, as in ISO 7870-2): centre, warning limits at ±2σ,
 * action limits at ±3σ, and runs that chance seldom makes. σ is the mean moving range over 1.128
 * (the expected range of two normal values), so that a step does not widen the limits that are to
 * show it.
 *
 * <p>The run rules are those of the standard as remembered, not read: one point beyond an action
 * limit, two of three beyond the same warning limit, seven in a row on one side of the centre,
 * seven in a row rising or falling.
 *
 * @param entries of one kind, subject, direction and range in one epoch, in order of time
 * @param centre of the chart
 * @param sigma of the chart
 * @param learned false while there are too few entries, and the stated uncertainty is used
 * @param signals what is out of the ordinary
 */
public record HealthChart(
    List<HealthEntry> entries, double centre, double sigma, boolean learned, List<Signal> signals) {

  /** Expected range of two values from a normal distribution of standard deviation 1. */
  private static final double RANGE_OF_TWO = 1.128;

  /** From this many entries on the chart learns from them (our own choice). */
  private static final int ENOUGH = 8;

  /** Limits are learned from the first entries of an epoch, and then stay (our own choice). */
  private static final int BASELINE = 20;

  private static final int LONG_RUN = 7; // of the run rules: the standard as remembered

  private static final Set<HealthEntry.Kind> CHARTED =
      EnumSet.of(HealthEntry.Kind.ZERO, HealthEntry.Kind.LEAKAGE, HealthEntry.Kind.PLATE_CHECK);

  /** What chance seldom makes. */
  public enum Pattern {
    BEYOND_ITS_LIMIT("outside the limit set for it", true),
    BEYOND_THREE_SIGMA("%.1f sigma from the centre", true),
    TWO_OF_THREE("two of three beyond 2 sigma on one side", true),
    RUN_ON_ONE_SIDE(LONG_RUN + " in a row on one side of the centre", true),
    RUN_UP_OR_DOWN(LONG_RUN + " steps in a row up or down", false);

    private final String form;
    private final boolean action;

    Pattern(String form, boolean action) {
      this.form = form;
      this.action = action;
    }
  }

  /**
   * @param at index of the entry that completes the pattern
   * @param sigmas of that entry from the centre
   */
  public record Signal(int at, Pattern pattern, double sigmas) {

    /** What was seen. */
    public String words() {
      return Text.of(pattern.form, sigmas);
    }

    /** True when something must be done before the bench is trusted. */
    public boolean action() {
      return pattern.action;
    }
  }

  /**
   * How a value of the log is shown, the same everywhere: ratios as percent from one, all else in
   * the units of the bench.
   */
  public record Scale(DoubleUnaryOperator of, Unit unit) {

    public static Scale of(HealthEntry entry, Bench bench) {
      return switch (entry.kind()) {
        case PLATE_CHECK, GAUGES -> new Scale(ratio -> 100 * (ratio - 1), Unit.PERCENT);
        case LEAKAGE -> in(bench.units().unit(Dimension.VOLUME_FLOW));
        case ZERO -> in(bench.units().unit(measured(entry.subject(), bench)));
        default -> in(Unit.PERCENT);
      };
    }

    /** A zero is a difference: it has no zero point of its own. */
    private static Scale in(Unit unit) {
      return new Scale(value -> unit.fromSi(value) - unit.fromSi(0), unit);
    }

    private static Dimension measured(String gauge, Bench bench) {
      boolean lift =
          bench
              .source(Use.LIFT)
              .filter(source -> source.fold(each -> each.key().equals(gauge), typed -> false))
              .isPresent();
      return lift ? Dimension.LENGTH : Dimension.PRESSURE;
    }
  }

  public HealthChart {
    entries = List.copyOf(entries);
    signals = List.copyOf(signals);
  }

  /**
   * The chart of some entries. Its centre is their mean, not what they should be: a plate's own
   * error stays from check to check and is no sign of a bench that wanders; whether it is larger
   * than plate and calibration allow is what the limit of each entry tells.
   *
   * @throws IllegalArgumentException without entries
   */
  public static HealthChart of(List<HealthEntry> entries) {
    if (entries.isEmpty()) {
      throw new IllegalArgumentException("a health chart needs one check or more");
    }
    double[] values = entries.stream().mapToDouble(HealthEntry::value).toArray();
    boolean learned = values.length >= ENOUGH;
    int n = Math.min(values.length, BASELINE);
    double mean = 0;
    double ranges = 0;
    for (int i = 0; i < n; i++) {
      mean += values[i] / n;
      ranges += i > 0 ? Math.abs(values[i] - values[i - 1]) / (n - 1) : 0;
    }
    double stated =
        entries.stream().mapToDouble(HealthEntry::standardUncertainty).average().orElseThrow();
    double sigma = learned ? ranges / RANGE_OF_TWO : stated;
    return new HealthChart(entries, mean, sigma, learned, signals(entries, mean, sigma));
  }

  /** Entries of this epoch that belong on one chart with an entry, in order of time. */
  public static List<HealthEntry> like(Upkeep upkeep, HealthEntry entry) {
    return upkeep.health().stream()
        .filter(
            each ->
                each.kind() == entry.kind()
                    && each.epoch() == upkeep.epoch().number()
                    && each.subject().equals(entry.subject())
                    && each.direction().equals(entry.direction())
                    && each.range().equals(entry.range()))
        .toList();
  }

  /** Every chart of this epoch: zeros, leakages, plate checks. */
  public static List<HealthChart> all(Upkeep upkeep) {
    return upkeep.health().stream()
        .filter(entry -> CHARTED.contains(entry.kind()))
        .map(entry -> like(upkeep, entry))
        .filter(entries -> !entries.isEmpty())
        .distinct()
        .map(HealthChart::of)
        .toList();
  }

  /** What the chart is of: {@code plate check of 44, suction, range large}. */
  public String title() {
    HealthEntry entry = entries.get(0);
    return entry.kind().word().replace('_', ' ')
        + " of "
        + entry.subject()
        + entry.direction().map(way -> ", " + way.word()).orElse("")
        + entry.range().map(range -> ", range " + range).orElse("");
  }

  /** Centre + this many σ. */
  public double line(double sigmas) {
    return centre + sigmas * sigma;
  }

  /** True when the newest entry completes no pattern that asks for action. */
  public boolean healthy() {
    return signals.stream().noneMatch(s -> s.action() && s.at() == entries.size() - 1);
  }

  private static List<Signal> signals(List<HealthEntry> entries, double centre, double sigma) {
    List<Signal> signals = new ArrayList<>();
    if (!(sigma > 0)) {
      return signals;
    }
    double[] z = entries.stream().mapToDouble(e -> (e.value() - centre) / sigma).toArray();
    for (int i = 0; i < z.length; i++) {
      if (!entries.get(i).withinLimit()) {
        signals.add(new Signal(i, Pattern.BEYOND_ITS_LIMIT, z[i]));
      }
      if (Math.abs(z[i]) > 3) {
        signals.add(new Signal(i, Pattern.BEYOND_THREE_SIGMA, z[i]));
      } else if (twoOfThree(z, i)) {
        signals.add(new Signal(i, Pattern.TWO_OF_THREE, z[i]));
      }
      if (run(z, i, 0)) {
        signals.add(new Signal(i, Pattern.RUN_ON_ONE_SIDE, z[i]));
      }
      if (run(steps(z), i - 1, 0) && i >= LONG_RUN) {
        signals.add(new Signal(i, Pattern.RUN_UP_OR_DOWN, z[i]));
      }
    }
    return signals;
  }

  private static boolean twoOfThree(double[] z, int at) {
    if (Math.abs(z[at]) <= 2) {
      return false;
    }
    for (int i = Math.max(0, at - 2); i < at; i++) {
      if (Math.abs(z[i]) > 2 && Math.signum(z[i]) == Math.signum(z[at])) {
        return true;
      }
    }
    return false;
  }

  private static double[] steps(double[] z) {
    double[] steps = new double[Math.max(0, z.length - 1)];
    for (int i = 0; i < steps.length; i++) {
      steps[i] = z[i + 1] - z[i];
    }
    return steps;
  }

  /** True when the run on one side that ends here is exactly long enough, or a multiple of it. */
  private static boolean run(double[] values, int at, int from) {
    int length = 0;
    for (int i = at; i >= from; i--) {
      if (values[i] == 0 || Math.signum(values[i]) != Math.signum(values[at])) {
        break;
      }
      length++;
    }
    return length >= LONG_RUN;
  }
}
