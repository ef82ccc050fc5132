package meniscus.recorder.upkeep;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.stream.Collectors;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.pipeline.MessageWords;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.recorder.feed.BenchMessage;

/** How the upkeep of a bench goes on, for the person at it. */
public sealed interface UpkeepMessage extends BenchMessage {

  /** All is read at rest for so long [s]. */
  record Resting(double seconds) implements UpkeepMessage {
    @Override
    public String sentence() {
      return Text.of("blower off: waiting until all is at rest, then reading %.0f s", seconds);
    }
  }

  /** Plates are mounted in another order than they are listed. */
  record InThisOrder(List<Plate> plates) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "plates in this order: "
          + plates.stream().map(Plate::name).collect(Collectors.joining(", "))
          + "; sizes in turn and the first one again at the end, so that a drift shows";
    }
  }

  /** A plate is mounted a second time. */
  record OnceMore(Plate plate) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "plate " + plate.name() + " once more: by it a drift shows";
    }
  }

  /** A plate stands where the head stands. */
  record PlateMounted(Plate plate) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "plate " + plate.name() + " is mounted: blower on";
    }
  }

  /** What the form asked for stands ready. */
  record BlowerOn() implements UpkeepMessage {
    @Override
    public String sentence() {
      return "blower on";
    }
  }

  /** The person wants no reading of a plate. */
  record PlateLeftOut(Plate plate) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "plate " + plate.name() + " is left out";
    }
  }

  /** A reading was given up while it was taken. */
  record GivenUp(Plate plate, String why) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "plate " + plate.name() + ": " + why;
    }
  }

  /**
   * A test pressure is to be set.
   *
   * @param pressure in the bench's units
   * @param unasked true where gauges send it by themselves
   */
  record SetPressure(String pressure, boolean unasked) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "set the test pressure to "
          + pressure
          + (unasked ? "; it is read as soon as it rests" : "");
    }
  }

  /**
   * A plate was read.
   *
   * @param at in whose units
   */
  record PlateRead(BenchAt at, PlateReading reading) implements UpkeepMessage {
    @Override
    public String sentence() {
      return Text.of(
          "plate %s: %s test pressure, %s drop, %s",
          reading.plate(),
          at.text(reading.means().testPressurePa()),
          at.text(reading.means().dropPa()),
          reading.means().readByEye()
              ? "read by eye"
              : Text.of(
                  "good to %.2f %%",
                  200 * reading.means().flowStandardError() / reading.means().flowM3PerS()));
    }
  }

  /**
   * How much of a calm run is recorded.
   *
   * @param seconds so far, of so many asked for [s]
   */
  record CalmUnderWay(Plate plate, double seconds, double asked) implements UpkeepMessage {
    @Override
    public String sentence() {
      return Text.of("plate %s: %.0f of %.0f s recorded", plate.name(), seconds, asked);
    }
  }

  /**
   * A calm run was recorded.
   *
   * @param testPressure in the bench's units
   * @param deviation of its flow, over the mean [1]
   */
  record CalmRecorded(String plate, String testPressure, double deviation)
      implements UpkeepMessage {
    @Override
    public String sentence() {
      return Text.of(
          "plate %s at %s: the flow moves by %.2f %% (one standard deviation)",
          plate, testPressure, 100 * deviation);
    }
  }

  /** There is a calm record already. */
  record CalmUntilNow(Instant taken) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "the calm record until now was taken on " + taken.toString().substring(0, 10);
    }
  }

  /** All plates are read. */
  record Fitting() implements UpkeepMessage {
    @Override
    public String sentence() {
      return "fitting the flow element through the plates";
    }
  }

  /** Two gauges on one pressure, in the bench's units. */
  record OnOnePressure(String first, String second) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "on one pressure: " + first + " and " + second;
    }
  }

  /**
   * What fittings of a head cost, and what they buy.
   *
   * @param scatter from fitting to fitting on a usual bench [1]
   * @param smallest change that so many tell from chance [1]
   */
  record FittingsAhead(int count, int lifts, double minutes, double scatter, double smallest)
      implements UpkeepMessage {
    @Override
    public String sentence() {
      return Text.of(
          "%d fittings of %d lifts, about %.0f minutes. Without them one run a side decides"
              + " nothing; with them, on a usual bench (%.1f %% from fitting to fitting), it tells"
              + " a change of about %.1f %% at a lift from chance",
          count, lifts, minutes, 100 * scatter, 100 * smallest);
    }
  }

  /** A lift point of a led test was kept. */
  record LiftKept(LiftPoint point, Plan plan) implements UpkeepMessage {
    @Override
    public String sentence() {
      Unit flow = plan.units().flow();
      return Text.of(
          "lift %s: %.2f %s, %s",
          new InUnits(plan.units()).lift(point.liftM()),
          flow.fromSi(point.flowM3PerS()),
          flow.symbol(),
          point.verdict().word());
    }
  }

  /** A kept lift point of a led test is not on the disk yet. */
  record LiftNotSafe(LiftPoint point, Plan plan, String reason) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "NOT SAFE YET: lift "
          + new InUnits(plan.units()).lift(point.liftM())
          + " is held in memory: "
          + reason;
    }
  }

  /** What a led test says itself. */
  record OfTest(OperatorMessage message, MessageWords words) implements UpkeepMessage {
    @Override
    public String sentence() {
      return words.sentence(message);
    }
  }

  /**
   * The readings of a plate count, but cannot be worked out again later.
   *
   * @param plate that was read
   */
  record RawNotKept(Plate plate, String why) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "the raw readings of plate " + plate.name() + " are not kept: " + why;
    }
  }

  /** Raw readings that an interrupted run has left cannot be made a folder. */
  record RawLeft(String why) implements UpkeepMessage {
    @Override
    public String sentence() {
      return "raw readings that an interrupted run has left are not finished: " + why;
    }
  }

  /** Readings of an interrupted run are taken over, in words. */
  record TakenOver(String left) implements UpkeepMessage {
    @Override
    public String sentence() {
      return left + " are used; a new zero makes them void";
    }
  }

  /** Readings of an interrupted run are of no use any more. */
  record NotTakenOver(String left) implements UpkeepMessage {
    @Override
    public String sentence() {
      return left + " are not used: the bench file, a zero perhaps, or the day changed";
    }
  }

  /** A kept reading cannot be read. */
  record ReadAgain(String why) implements UpkeepMessage {
    @Override
    public String sentence() {
      return why + "; it is read again";
    }
  }

  /**
   * A reading cannot be kept on the disk.
   *
   * @param kind {@code reading} or {@code run}
   */
  record NotSafe(String kind, Path file, String why) implements UpkeepMessage {
    @Override
    public String sentence() {
      return Text.of(
          "NOT SAFE: this %s is in memory only, %s cannot be written: %s. Do not stop now; make"
              + " room, and the next %1$s writes all of them",
          kind, file, why);
    }
  }
}
