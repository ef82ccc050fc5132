/**
 * The commands of a bench's upkeep: zero, leakage, calibration, plate check, calm record, health.
 *
 * <p>Here: options, prompts and printing at a terminal. Not here: what a task does and stores
 * (recorder.upkeep).
 */
package meniscus.recorder.cli.upkeep;
