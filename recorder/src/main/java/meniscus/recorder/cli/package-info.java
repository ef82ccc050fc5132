/**
 * One class a command. A command reads its options, calls what does the work, and prints: data to
 * standard output, messages to standard error.
 *
 * <p>Here: options, help, exit codes, wording for the terminal. Not here: any computation.
 */
package meniscus.recorder.cli;
