package meniscus.core;

import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Assumptions;

/**
 * What a test needs of the machine. Where it is missing the test is skipped aloud; with {@code
 * CI=true} it fails, so that nothing goes unchecked there without anyone seeing it.
 */
public final class Needed {

  private Needed() {}

  /**
   * @param missing what is not there, and so not checked
   */
  public static void that(boolean there, String missing) {
    if (!there) {
      assertTrue(!"true".equals(System.getenv("CI")), "CI needs what is missing: " + missing);
      System.err.println("SKIPPED: " + missing);
      Assumptions.abort(missing);
    }
  }
}
