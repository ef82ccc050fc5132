package meniscus.recorder.page;

import meniscus.recorder.feed.Drivers;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;

/** Makes {@link UpkeepTask}s of what the page asks for; */
final class UpkeepTasks {

  private final BenchOfPage place;
  private final Drivers drivers;

  UpkeepTasks(BenchOfPage place, Drivers drivers) {
    this.place = place;
    this.drivers = drivers;
  }

  /** Everything is read and checked here, before any line is opened. */
  UpkeepTask asked(String word, JsonIn in) throws HttpError {
    return switch (word) {
      case "zero" -> new GaugeTasks(place, drivers, in).zero();
      case "leakage" -> new GaugeTasks(place, drivers, in).leakage();
      case "level" -> new GaugeTasks(place, drivers, in).level();
      case "calibrate" -> new PlateTasks(place, drivers, in).calibrate();
      case "check" -> new PlateTasks(place, drivers, in).check();
      case "calm" -> new PlateTasks(place, drivers, in).calm();
      default ->
          throw HttpError.wrong(
              "no task \"" + word + "\"; there are: level, zero, leakage, calibrate, check, calm");
    };
  }
}
