package meniscus.recorder.demo;

import java.util.Locale;

/** The steps of the demo's job, in their order. */
public enum DemoStep {
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

  /** As programs and addresses name it. */
  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }

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
