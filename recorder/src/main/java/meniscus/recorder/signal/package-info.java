/**
 * Recorded signals on disk: a CSV of times and values, and the folder of calm runs. Start with
 * {@link meniscus.recorder.signal.SignalFile}.
 *
 * <p>Here: reading and writing those files, errors that name file and row. Not here: what the
 * numbers mean (core's {@code steadiness}), test folders.
 */
package meniscus.recorder.signal;
