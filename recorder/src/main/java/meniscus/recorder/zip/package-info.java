/**
 * Reads packed tests: a zip as if it were a folder. Start with {@link
 * meniscus.recorder.zip.ZipDisk}.
 *
 * <p>Here: the list of a zip's files, read strictly, and their content. Not here: what is in a test
 * folder, nor how a pack is written.
 */
package meniscus.recorder.zip;
