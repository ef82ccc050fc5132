/**
 * The bench page: what a browser asks of a bench and its tests, and what it is shown. Start with
 * {@link meniscus.recorder.page.PageServer}.
 *
 * <p>Here: the routes, what is shown ({@code TestJson}), which tests there are, how a test is begun
 * from the page. Not here: the page's bench (page.bench) and its upkeep (page.upkeep), requests,
 * guards and live events (page.http), taking a test (session), files (folder, file), the look of
 * the page (the web files in the resources of this package).
 */
package meniscus.recorder.page;
