/**
 * Carries facts to receivers outside the program. Start with {@link
 * meniscus.recorder.outlet.Outlets}.
 *
 * <p>Here: what the facts are ({@code TestFacts}), their places ({@code FactSpool}), their form
 * ({@code FactJson}), and the threads that hand them to plugins and keep how far each receiver has
 * come ({@code OutletRun}). Not here: networks, which are the plugins'; anything that a running
 * test waits for.
 */
package meniscus.recorder.outlet;
