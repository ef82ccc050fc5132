/**
 * Calibrating a bench: fits with uncertainty in both axes, a flow element through orifice plates,
 * zero, leakage, plate checks and the bench's health over months.
 *
 * <p>Here: pure functions over averaged readings. Not here: taking readings, files, what a bench is
 * (package bench), what a fitted calibration does to a lift point's budget (package uncertainty).
 */
package meniscus.core.calibrate;
