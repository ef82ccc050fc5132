package meniscus.recorder.upkeep;

import java.io.IOException;
import meniscus.core.bench.Bench;
import meniscus.core.calibrate.EpochTasks;

/** Puts on record that the bench stands level. */
record LevelTask(UpkeepPlace place, Bench bench) implements UpkeepTask {

  static final String WORD = "level";

  static LevelTask of(UpkeepRequest request, UpkeepPlace place) {
    return new LevelTask(place, place.bench());
  }

  @Override
  public String word() {
    return WORD;
  }

  @Override
  public String title() {
    return "Level";
  }

  @Override
  public boolean simulated() {
    return place.simulated(bench);
  }

  @Override
  public UpkeepOutcome work(BenchOperator operator) throws IOException {
    place.write(bench.with(upkeep -> EpochTasks.level(upkeep, place.now())));
    UpkeepOutcome.Telling telling = new UpkeepOutcome.Telling();
    telling.good("noted: the bench stands level");
    return telling.as(UpkeepOutcome.Kind.DONE);
  }
}
