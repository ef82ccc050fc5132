/**
 * What the bench page needs of HTTP: requests and answers, who may ask what ({@code RequestGuard},
 * {@code ControlLease}, {@code RemoteViewers}), and live events to many viewers.
 *
 * <p>Not here: what is asked of a bench or shown of a test (page).
 */
package meniscus.recorder.page.http;
