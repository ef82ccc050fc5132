/**
 * Tables for other programs out of one test or of many: the same columns as spreadsheet-safe CSV or
 * as JSON, in any units. Test folders are read, never touched.
 *
 * <p>Not here: the open files of a test folder itself ({@code folder}), which tests there are
 * ({@code archive}).
 */
package meniscus.recorder.export;
