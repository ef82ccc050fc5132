/**
 * Moist air: density, viscosity, speed of sound, ratio of specific heats, and the barometer. Start
 * with {@link meniscus.core.air.AirState}.
 *
 * <p>Here: what follows from temperature, pressure and humidity alone. Not here: flow through
 * anything, uncertainty of the gauges, units other than SI.
 */
package meniscus.core.air;
