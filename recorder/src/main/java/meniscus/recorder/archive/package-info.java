/**
 * Many tests: which there are under a folder, found by part, date, change or lift without opening
 * them all. The folders are the truth; the index beside them only remembers, and can be thrown
 * away.
 *
 * <p>Not here: one test folder ({@code folder}), comparing, tables for other programs ({@code
 * export}).
 */
package meniscus.recorder.archive;
