package meniscus.recorder.upkeep;

import java.io.IOException;

/** The tasks there are, by the word that asks for them. */
public final class UpkeepTasks {

  private UpkeepTasks() {}

  /**
   * The task that is asked for.
   *
   * @throws WrongRequest when it cannot be done as asked
   */
  public static UpkeepTask of(UpkeepRequest request, UpkeepPlace place)
      throws WrongRequest, IOException {
    return switch (request.task()) {
      case LevelTask.WORD -> LevelTask.of(request, place);
      case ZeroTask.WORD -> ZeroTask.of(request, place);
      case GaugesTask.WORD -> GaugesTask.of(request, place);
      case LeakageTask.WORD -> LeakageTask.of(request, place);
      case CalibrateTask.WORD -> CalibrateTask.of(request, place);
      case CheckTask.WORD -> CheckTask.of(request, place);
      case CalmTask.WORD -> CalmTask.of(request, place);
      case RepeatTask.WORD -> RepeatTask.of(request, place);
      case UseCalibrationTask.WORD -> UseCalibrationTask.of(request, place);
      default ->
          throw WrongRequest.notUnderstood(
              "do",
              "no task \""
                  + request.task()
                  + "\"; there are: level, zero, gauges, leakage, calibrate, use, check,"
                  + " calm, repeat");
    };
  }
}
