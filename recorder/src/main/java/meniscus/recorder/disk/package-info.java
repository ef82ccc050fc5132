/**
 * The few things asked of a file system, behind an interface, so that a full disk, a stalled disk
 * or a power cut can be tried out in a test.
 *
 * <p>Here: files, names that stay inside a folder, the lock of a folder. Not here: what is written.
 */
package meniscus.recorder.disk;
