/**
 * A collection: the tests of one bench or of many as a folder of Parquet files, for engines that
 * read tables by the million. Tests are only ever added; the manifest says which files there are.
 *
 * <p>Not here: asking questions of a collection, which any such engine does better; what loads the
 * library that writes Parquet ({@code export}); which tests there are for people ({@code archive}).
 */
package meniscus.recorder.collection;
