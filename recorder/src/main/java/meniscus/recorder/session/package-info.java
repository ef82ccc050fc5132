/**
 * A lift test, led on a bench's frames and written into its journal as it goes. Start with {@link
 * meniscus.recorder.session.TestRecorder}, then {@link meniscus.recorder.session.TestSession}.
 *
 * <p>Here: what runs on the test's thread, and how a test is begun, taken up again and finished.
 * Not here: lines and frames (feed), what is done with a frame (core.pipeline), how it is stored
 * (journal, folder), how it is shown (cli, page).
 */
package meniscus.recorder.session;
