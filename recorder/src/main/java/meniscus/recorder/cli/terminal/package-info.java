/**
 * What commands share: the console, exit codes, help, and options that several commands have.
 *
 * <p>Here: reading a terminal and writing to it. Not here: commands, any computation.
 */
package meniscus.recorder.cli.terminal;
