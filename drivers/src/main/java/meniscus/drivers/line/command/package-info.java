/**
 * Lines that are a program's standard output. Here: starting, reading, ending it. Not here: whether
 * it may run, which the caller says.
 */
package meniscus.drivers.line.command;
