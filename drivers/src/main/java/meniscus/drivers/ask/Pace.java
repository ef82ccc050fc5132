package meniscus.drivers.ask;

import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/**
 * How fast an instrument is asked.
 *
 * @param everyS from the beginning of one round of questions to that of the next [s]; 0: at once
 * @param pauseS from an answer to the next question [s]
 * @param timeoutS how long an answer is awaited [s]
 * @param retries how often a question is asked again
 */
public record Pace(double everyS, double pauseS, double timeoutS, int retries) {

  /**
   * Reads {@code every_s}, {@code pause_s}, {@code timeout_s} and {@code retries}.
   *
   * @throws Refusal when one is out of range
   */
  public static Pace of(Settings settings) {
    return new Pace(
        seconds(settings, "every_s", 1, 0, 3600),
        seconds(settings, "pause_s", 0, 0, 60),
        seconds(settings, "timeout_s", 1, 0.01, 60),
        settings.whole("retries", 2, 0, 100));
  }

  private static double seconds(
      Settings settings, String name, double otherwise, double least, double most) {
    double seconds = settings.number(name, otherwise);
    if (!(seconds >= least && seconds <= most)) {
      throw new Refusal(
          settings.where()
              + ", \""
              + name
              + "\" must be from "
              + least
              + " to "
              + most
              + " seconds, was "
              + seconds);
    }
    return seconds;
  }
}
