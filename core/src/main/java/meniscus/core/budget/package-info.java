/**
 * The uncertainty budget of a bench's flow: what each gauge, the air, the calibration, leaks, the
 * plenum and the setting of the lift do to the flow of one lift point.
 *
 * <p>Here: where contributions come from, and how large they are. Not here: how contributions are
 * combined (package uncertainty), how a mean is made and how well it repeats (packages settle and
 * steadiness).
 */
package meniscus.core.budget;
