/**
 * One class a command. A command reads its options, calls what does the work, and prints: data to
 * standard output, messages to standard error.
 *
 * <p>Here: the commands that take, compare and show tests, and the list of all of them. Not here:
 * any computation; the shop calculator (cli.figure), the bench's upkeep (cli.upkeep), what commands
 * share (cli.terminal).
 */
package meniscus.recorder.cli;
