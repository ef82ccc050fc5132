/**
 * The plugin door: what a driver must be to be read by the program. Read {@link
 * meniscus.core.instrument.InstrumentDriver} first.
 *
 * <p>Here: interfaces and values. Not here: real instruments, ports, threads, files. A driver is a
 * pure state machine; the host owns lines, clocks, timeouts and reconnection.
 */
package meniscus.core.instrument;
