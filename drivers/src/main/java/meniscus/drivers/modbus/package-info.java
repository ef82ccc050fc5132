/**
 * Modbus, as the only master of its line: RTU over serial and TCP, functions 3 and 4. Read {@link
 * meniscus.drivers.modbus.ModbusRtuDriver} first. Source: MODBUS Application Protocol Specification
 * V1.1b3; MODBUS over Serial Line V1.02; MODBUS Messaging on TCP/IP V1.0b.
 *
 * <p>Here: questions, answers, registers to numbers. Not here: writing to instruments, broadcast,
 * silence on the wire (frames are told by length and checksum).
 */
package meniscus.drivers.modbus;
