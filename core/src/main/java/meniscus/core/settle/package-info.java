/**
 * From noisy readings to one level with an interval that is true: spikes out, blocks of whole mains
 * cycles, and a bank of noise filters that fits level, settling and noise together. Start with
 * {@link meniscus.core.settle.LevelBank}.
 *
 * <p>Here: blocks, noise shapes, settling, the level's posterior. Not here: what the fluctuation
 * means (package {@code steadiness}), units, systematic uncertainty.
 */
package meniscus.core.settle;
