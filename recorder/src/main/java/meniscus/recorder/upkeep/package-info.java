/**
 * Upkeep of a bench: zero, leakage, calibration, plate check. Each opens the bench's lines with
 * something mounted, averages, lets {@link meniscus.core.calibrate} work it out, and gives back the
 * bench with what was learned.
 *
 * <p>Here: the order of doing things at the bench. Not here: options and wording for the terminal
 * (cli), the mathematics (core).
 */
package meniscus.recorder.upkeep;
