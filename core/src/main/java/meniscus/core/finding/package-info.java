/**
 * What can be said across the lifts of a test: flow that turns over, opening against closing,
 * unsteadiness along the lifts, the pressure sweep, a likely short side.
 *
 * <p>Here: a finding is a sentence with its evidence, a next step on the bench, and the lifts it is
 * about; chances of a false finding are stated where it is worked out. Not here: before against
 * after (compare), the verdict on one reading (steadiness).
 */
package meniscus.core.finding;
