package meniscus.core.steadiness;

/**
 * Ripple of the mains in the readings: not the air, but what motor or supply put into the gauge.
 *
 * @param aliasHertz frequency at which it shows [Hz]
 * @param relative amplitude over the level
 */
public record MainsRipple(double aliasHertz, double relative) {}
