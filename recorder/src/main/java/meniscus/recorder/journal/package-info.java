/**
 * The append-only log that a test is written into while it is captured, and its recovery after a
 * crash, a power cut or a damaged disk. The byte layout stands in {@code docs/file-formats.md}.
 *
 * <p>Here: writing, reading, what is safe and what is not. Not here: what a test does next, and the
 * test folder that a finished journal is turned into.
 */
package meniscus.recorder.journal;
