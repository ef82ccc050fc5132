package meniscus.recorder.page;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.LeakReading;
import meniscus.core.calibrate.ZeroTake;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.upkeep.BenchStation;
import meniscus.recorder.upkeep.LeakTest;
import meniscus.recorder.upkeep.Zeroing;

/** What is done with gauges alone: zero, leakage, level. */
final class GaugeTasks extends UpkeepAsked {

  GaugeTasks(BenchOfPage place, Drivers drivers, JsonIn in) throws HttpError {
    super(place, drivers, in);
  }

  // ---------------------------------------------------------------- zero

  UpkeepTask zero() throws HttpError {
    int seconds = in.optionalWhole("seconds").orElse(10);
    if (seconds < 1 || seconds > 600) {
      throw HttpError.wrong("\"seconds\" lies between 1 and 600");
    }
    boolean lift = in.flag("lift");
    return new UpkeepTask(
        "zero",
        "Zero",
        operator -> {
          operator.told("Blower off. Waiting until all is at rest, then reading " + seconds + " s");
          Zeroing zeroing;
          try (BenchStation stand = stand(bench.ranges().get(0), Direction.SUCTION, operator)) {
            zeroing = Zeroing.take(stand, seconds, lift, Instant.now());
          }
          write(zeroing.bench());
          List<String> lines = new ArrayList<>();
          zeroing.outcomes().forEach((gauge, outcome) -> lines.add(words(gauge, outcome)));
          return new UpkeepTask.Outcome(!zeroing.complete(), lines, "");
        });
  }

  private String words(String gauge, ZeroTake.Outcome outcome) {
    Unit unit = unitOf(gauge);
    return outcome.fold(
        taken ->
            String.format(
                Locale.ROOT,
                "%s: zero %s, good to %s until the next one%s",
                gauge,
                text(taken.zero().offsetSi(), unit),
                text(taken.zero().standardUncertaintySi(), unit),
                taken.sincePreviousSi().isPresent()
                    ? ", moved by "
                        + text(taken.sincePreviousSi().getAsDouble(), unit)
                        + " since the last one"
                    : ""),
        ZeroTake.Refused::reason);
  }

  private Unit unitOf(String gauge) {
    boolean isLift =
        bench
            .source(Use.LIFT)
            .map(
                source ->
                    source.fold(
                        (Source.Measured measured) -> measured.key().equals(gauge), typed -> false))
            .orElse(false);
    return bench.units().unit(isLift ? Dimension.LENGTH : Dimension.PRESSURE);
  }

  // ---------------------------------------------------------------- leakage

  UpkeepTask leakage() throws HttpError {
    Direction way = direction();
    Range range = range();
    List<Double> pressures = pressures("7 inH2O, 14 inH2O, 28 inH2O");
    double limit = si("limit", "1 cfm", Dimension.VOLUME_FLOW);
    String setUp = in.optionalText("set_up").orElse(LeakTest.BLANKED);
    return new UpkeepTask(
        "leakage",
        "Leakage, " + way.word() + ", range " + range.name() + ", " + setUp,
        operator -> {
          operator.told("Blower on, " + way.word());
          LeakTest test;
          try (BenchStation stand = stand(range, way, operator)) {
            test = LeakTest.take(stand, setUp, pressures, limit, operator::told, Instant.now());
          }
          write(test.bench());
          return outcome(test);
        });
  }

  private UpkeepTask.Outcome outcome(LeakTest test) {
    List<String> lines = new ArrayList<>();
    for (LeakReading reading : test.readings()) {
      lines.add(
          text(reading.testPressurePa(), pressure)
              + ": "
              + text(reading.flowM3PerS(), flow)
              + " ± "
              + text(2 * reading.standardUncertaintyM3PerS(), flow));
    }
    return test.outcome()
        .fold(
            found -> {
              Leakage leak = found.leakage();
              lines.add(
                  found.seen()
                      ? "The leak is "
                          + text(leak.flowM3PerS(test.atPa()), flow)
                          + " at "
                          + text(test.atPa(), pressure)
                          + ", good to "
                          + percent(2 * leak.standardUncertainty())
                          + "; it is subtracted from now on"
                      : "Too small to see: less than "
                          + text(leak.limitM3PerS(), flow)
                          + ", which is reckoned with");
              return new UpkeepTask.Outcome(false, lines, "");
            },
            large -> {
              lines.add(large.reason());
              return new UpkeepTask.Outcome(true, lines, "");
            });
  }

  UpkeepTask level() {
    return new UpkeepTask(
        "level",
        "Level",
        operator -> {
          write(bench.with(upkeep -> EpochTasks.level(upkeep, Instant.now())));
          return new UpkeepTask.Outcome(false, List.of("Noted: the bench stands level"), "");
        });
  }
}
