package meniscus.recorder.demo;

import meniscus.core.quantity.Coded;

/** The steps of the demo's job, in their order. */
public enum DemoStep implements Coded {
  ZERO,
  GAUGES,
  LEAKAGE,
  CALIBRATION,
  CHECK,
  CALM,
  REPEATABILITY,
  BEFORE,
  AFTER,
  COMPARING;

  /** Is told which step begins. */
  @FunctionalInterface
  public interface Progress {
    /**
     * @param sentence the step in words, for a person
     * @throws InterruptedException when the job is to end
     */
    void begins(DemoStep step, String sentence) throws InterruptedException;
  }
}
