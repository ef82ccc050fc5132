/**
 * Moments on the monotonic clock, and the one wall-clock instant that anchors a segment.
 *
 * <p>Here: values. Not here: clocks; whoever owns a clock passes moments in.
 */
package meniscus.core.time;
