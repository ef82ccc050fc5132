/**
 * The bench that the page works with: its file ({@code BenchOfPage}), how it is shown ({@code
 * BenchShown}), its live readings while no test runs ({@code Listening}), and who has its lines
 * ({@code InUse}).
 *
 * <p>Not here: routes and tests (page), the bench's upkeep (page.upkeep).
 */
package meniscus.recorder.page.bench;
