/**
 * Where the program starts. Not here: anything but the entry point; commands are in {@code cli}.
 */
package meniscus.recorder;
