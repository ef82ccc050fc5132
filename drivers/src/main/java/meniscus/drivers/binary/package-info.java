/**
 * Microcontroller boards that send packets of bytes, framed by COBS or SLIP: {@link
 * meniscus.drivers.binary.PacketStreamDriver}, taught by a sheet.
 *
 * <p>Here: cutting bytes into packets, numbers out of packets. Not here: asking; text.
 */
package meniscus.drivers.binary;
