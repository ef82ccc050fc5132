/**
 * What is printed of tests and comparisons: JSON, the terminal's table, and the report for a
 * customer.
 *
 * <p>Here: reading test folders for a comparison, wording, charts as SVG. Not here: the statistics
 * (core), options and exit codes (cli).
 */
package meniscus.recorder.report;
