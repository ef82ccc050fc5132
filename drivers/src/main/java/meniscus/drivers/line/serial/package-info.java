/**
 * Serial ports. Start with {@link meniscus.drivers.line.serial.SerialKind}.
 *
 * <p>Here: the only place that knows the serial library, its traps, and the operating system's ways
 * of saying no. Not here: the loop that reopens ({@link meniscus.drivers.line.LineReader}).
 */
package meniscus.drivers.line.serial;
