package meniscus.core.calibrate;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.HealthEntry.Kind;
import meniscus.core.bench.Upkeep;

/**
 * A new epoch of a bench: after it was moved or repaired or a gauge was changed, what was learned
 * before is not to be trusted until it has been checked again.
 */
public final class EpochTasks {

  private EpochTasks() {}

  /** What begins a new epoch. */
  public enum Cause {
    MOVED("moved"),
    REPAIRED("repaired"),
    GAUGE_CHANGED("gauge changed");

    private final String word;

    Cause(String word) {
      this.word = word;
    }

    public String word() {
      return word;
    }
  }

  /** The upkeep in a new epoch; what was learned stays on record. */
  public static Upkeep begin(Upkeep upkeep, Cause cause, LocalDate day) {
    return upkeep.inEpoch(new Epoch(upkeep.epoch().number() + 1, day, cause.word()));
  }

  /** Puts on record that the bench stands level. */
  public static Upkeep level(Upkeep upkeep, Instant at) {
    return upkeep.withHealth(
        new HealthEntry(
            at,
            upkeep.epoch().number(),
            Kind.LEVEL,
            "bench",
            Optional.empty(),
            Optional.empty(),
            1,
            1,
            0,
            OptionalDouble.of(0),
            ""));
  }

  /** What is still to be done in this epoch, one sentence each, in the order to do it. */
  public static List<String> open(Upkeep upkeep) {
    List<String> tasks = new ArrayList<>();
    ask(upkeep, Kind.LEVEL, "set the bench level", tasks);
    ask(upkeep, Kind.ZERO, "take the zero of every gauge", tasks);
    ask(upkeep, Kind.LEAKAGE, "measure the leakage", tasks);
    ask(upkeep, Kind.PLATE_CHECK, "check one plate against the calibration", tasks);
    ask(upkeep, Kind.CALM_RECORD, "take a new calm record", tasks);
    return tasks;
  }

  private static void ask(Upkeep upkeep, Kind kind, String task, List<String> tasks) {
    boolean done =
        upkeep.health().stream()
            .anyMatch(e -> e.kind() == kind && e.epoch() == upkeep.epoch().number());
    if (!done) {
      tasks.add(task);
    }
  }
}
