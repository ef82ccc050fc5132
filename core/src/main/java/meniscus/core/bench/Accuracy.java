package meniscus.core.bench;

import meniscus.core.refusal.Refusal;

/**
 * An instrument's specification: limits within which its error lies (taken as rectangular, JCGM
 * 100:2008 4.3.7).
 *
 * @param ofReading limit as a share of the reading, 0.0025 for 0.25 %
 * @param absoluteSi limit independent of the reading [SI], for example a share of full scale
 * @param quantumSi smallest step of the reading [SI], 0 when unknown
 */
public record Accuracy(double ofReading, double absoluteSi, double quantumSi) {

  public Accuracy {
    if (!(ofReading >= 0) || !(absoluteSi >= 0) || !(quantumSi >= 0)) {
      throw new Refusal("accuracy limits cannot be negative");
    }
  }

  /** Half-width of the error limits at a reading [SI]. */
  public double halfWidthSi(double readingSi) {
    return ofReading * Math.abs(readingSi) + absoluteSi;
  }
}
