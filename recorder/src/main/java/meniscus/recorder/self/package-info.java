/**
 * What the program knows of itself: its version, the folders of its user, its log, and how a fault
 * of its own is told. Not here: anything about a bench or a test.
 */
package meniscus.recorder.self;
