/**
 * A bench that exists only as equations: blower, plenum, flow element, port and gauges, advanced in
 * simulated time, heard and spoken to in the same bytes as a real one. Start with {@link
 * meniscus.drivers.simulated.SimulatedBench}; {@link meniscus.drivers.simulated.Scenario} holds
 * every size, {@link meniscus.drivers.simulated.Effect} what can be switched.
 *
 * <p>Here: the physics, the three instruments' wire forms, a person who works the bench, the truth.
 * Not here: reading those bytes (package text does, as with real instruments), clocks and threads.
 * The flow equations are written anew and not taken from core, so that a fault there is not
 * cancelled by the same fault here; only the density of moist room air comes from core.
 */
package meniscus.drivers.simulated;
