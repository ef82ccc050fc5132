/**
 * The second door: what a driver talks through. Read {@link meniscus.drivers.line.Line} and {@link
 * meniscus.drivers.line.LineReader} first.
 *
 * <p>Here: open lines, kinds of line, the loop that owns one line and brings it back when it was
 * lost, transcripts of what went over it. Not here: what the bytes mean. A line does blocking I/O
 * and belongs to one thread.
 */
package meniscus.drivers.line;
