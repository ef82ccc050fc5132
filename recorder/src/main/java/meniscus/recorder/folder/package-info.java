/**
 * The test folder: everything of one test in open files, a Data Package (version 2) that other
 * programs read without us. Every column and rule stands in {@code docs/file-formats.md}.
 *
 * <p>Here: turning a journal into a test folder, reading and checking one. Not here: bench and plan
 * files, what is computed from a test.
 */
package meniscus.recorder.folder;
