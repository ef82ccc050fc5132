package meniscus.recorder.feed;

import meniscus.core.bench.Use;
import meniscus.core.pipeline.Acquisition;

/** Shows the person how a reading stands, now and then. */
final class LiveShow {

  /** How often it is told how a reading stands, on the bench's clock [s] (our own choice). */
  private static final double EVERY_SECONDS = 0.25;

  private final GaugeReader reader;
  private double shownSeconds = Double.NEGATIVE_INFINITY;

  LiveShow(GaugeReader reader) {
    this.reader = reader;
  }

  /**
   * @param askedPa test pressure that is wanted [Pa]; 0 at rest
   * @param band how far it may be from that [1]
   * @param stillSeconds how long it has been averaged [s]
   * @param longestSeconds when it ends at the latest [s]
   * @param now on the bench's clock [s]
   */
  void show(
      Acquisition acquisition,
      double askedPa,
      double band,
      double stillSeconds,
      double longestSeconds,
      double now) {
    if (now - shownSeconds >= EVERY_SECONDS || now < shownSeconds) {
      shownSeconds = now;
      reader.live(
          new GaugeReader.Live(
              askedPa,
              band,
              acquisition.latest(Use.TEST_PRESSURE),
              acquisition.latest(Use.ELEMENT_DROP),
              stillSeconds,
              longestSeconds));
    }
  }
}
