/**
 * A bench in use: its lines opened, its instruments decoded, one stream of frames; and a lift test
 * led on it, written into its journal as it goes. Start with {@link
 * meniscus.recorder.session.Feed}, then {@link meniscus.recorder.session.TestSession}.
 *
 * <p>Here: threads, queues, the monotonic clock, plugin loading. Not here: what is done with a
 * frame (core.pipeline), how it is stored (journal, folder), how it is shown (cli, page).
 */
package meniscus.recorder.session;
