/**
 * What a reading's fluctuation means: the verdict at a lift point, judged against the bench's own
 * calm record. Start with {@link meniscus.core.steadiness.SignalJudge}.
 *
 * <p>Here: the judge, its settings and answer, the calm record and its limits, two-level switching,
 * faults of an instrument. Not here: how the level is averaged (package {@code settle}), findings
 * across lifts, files.
 */
package meniscus.core.steadiness;
