package meniscus.core.lift;

import meniscus.core.quantity.Coded;

/** What to do at a rung where the blower cannot reach the test pressure. */
public enum ShortPressure implements Coded {
  /** Keep at the pressure reached, rescaled and marked. */
  KEEP,
  /** Leave the rung empty. */
  SKIP,
  /** Take the whole ladder at the highest pressure that all rungs reach. */
  COMMON;
}
