/**
 * Equations of compressible flow through plates, nozzles and poppet valves, and what a flow is
 * stated for. Measuring: {@link meniscus.core.flow.OrificePlate} gives mass flow, {@link
 * meniscus.core.flow.EffectiveArea} turns it into the port's area, {@link
 * meniscus.core.flow.ReferenceState} into the volume flow that is reported.
 *
 * <p>Everything is SI and absolute pressure. Methods with plain doubles are for every reading;
 * those that return a record are for a person's question and check their limits. Not here:
 * calibration fits, the bench's layout, budgets of uncertainty.
 */
package meniscus.core.flow;
