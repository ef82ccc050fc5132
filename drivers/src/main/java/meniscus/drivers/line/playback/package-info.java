/**
 * Recordings of what went over a line, in both directions, with moments; and a kind of line that
 * plays them back. Start with {@link meniscus.drivers.line.playback.Recording}.
 *
 * <p>Here: the recording's format, writer, reader and player. Not here: test folders and their
 * samples, which hold readings, not bytes.
 */
package meniscus.drivers.line.playback;
