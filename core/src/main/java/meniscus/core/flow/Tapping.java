package meniscus.core.flow;

import meniscus.core.quantity.Coded;

/** Where an orifice plate's two pressures are taken in the pipe (ISO 5167-2:2003). */
public enum Tapping implements Coded {
  /** At the plate's faces. */
  CORNER,
  /** 25.4 mm before and behind the plate. */
  FLANGE,
  /** One pipe diameter before, half a diameter behind ("D and D/2"). */
  RADIUS;

  private static final double FLANGE_M = 0.0254; // ISO 5167-2:2003: 25.4 mm from its face

  /** L1: distance of the upstream tapping from the plate's upstream face over pipe diameter. */
  double upstreamDistance(double pipeM) {
    return switch (this) {
      case CORNER -> 0;
      case FLANGE -> FLANGE_M / pipeM;
      case RADIUS -> 1;
    };
  }

  /** L'2: distance of the downstream tapping from the downstream face over pipe diameter. */
  double downstreamDistance(double pipeM) {
    return switch (this) {
      case CORNER -> 0;
      case FLANGE -> FLANGE_M / pipeM;
      case RADIUS -> 0.47;
    };
  }
}
