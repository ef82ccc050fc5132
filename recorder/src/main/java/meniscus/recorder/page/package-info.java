/**
 * The bench page: an HTTP server on the loopback address, live events, commands, and the list of
 * tests. Start with {@link meniscus.recorder.page.PageServer}.
 *
 * <p>Here: who may ask what ({@code RequestGuard}, {@code ControlLease}), what is shown ({@code
 * TestJson}, {@code LiveEvents}), which tests there are. Not here: taking a test (session), files
 * (folder, file), the look of the page (the web files in the resources of this package).
 */
package meniscus.recorder.page;

import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.LiveEvents;
import meniscus.recorder.page.http.RequestGuard;
