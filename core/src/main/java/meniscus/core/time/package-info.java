/**
 * Moments on the monotonic clock, and the one wall-clock instant that anchors a segment.
 *
 * <p>Here: values, and the clock of a stream, worked out from the moments at which it arrived. Not
 * here: clocks that run; whoever owns one passes moments in.
 */
package meniscus.core.time;
