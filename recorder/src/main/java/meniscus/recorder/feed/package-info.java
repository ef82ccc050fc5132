/**
 * A bench in use: its lines opened, its instruments decoded, one stream of frames in order of
 * arrival; and what a person types of gauges read by eye. Start with {@link
 * meniscus.recorder.feed.Feed}.
 *
 * <p>Here: threads, queues, the monotonic clock, waiting for a mean of all gauges ({@code
 * Measuring}). Not here: a lift test (session), what is done with a frame (core.pipeline), lines
 * and drivers themselves (drivers).
 */
package meniscus.recorder.feed;
