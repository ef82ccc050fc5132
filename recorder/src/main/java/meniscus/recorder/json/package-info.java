/**
 * JSON for other programs and for the page, put together member by member.
 *
 * <p>Here: what a tree of Jackson's lacks for that. Not here: what an answer holds, and the files
 * that people write, which {@code meniscus.recorder.file} reads strictly.
 */
package meniscus.recorder.json;
