/**
 * Upkeep of the bench, led from the page: asked for by a request ({@code UpkeepRunner}), on a
 * thread of its own and told to every viewer ({@code UpkeepUnderWay}).
 *
 * <p>Not here: what a task does, and its outcome (recorder.upkeep).
 */
package meniscus.recorder.page.upkeep;
