/**
 * The files that people write: bench file, plan, instrument sheets. Start with {@link
 * meniscus.recorder.file.BenchFile}.
 *
 * <p>Here: JSON text to core's records and back, each member named, each refusal saying file, place
 * and remedy. Not here: calibrations and the calm record (only pointed to), test folders, the
 * journal.
 */
package meniscus.recorder.file;
