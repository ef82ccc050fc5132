/**
 * Before against after: what changed at each lift, how sure that is, and how many repeats would
 * settle what is still open.
 *
 * <p>{@link meniscus.core.compare.Comparison#of} is the way in. The way of the data: curves at the
 * same lifts ({@code RunCurve}, {@code CommonLifts}), what differs from run to run ({@code
 * Scatter}), differences with their uncertainty ({@code Difference}), outcomes ({@code Outcome}),
 * what is to be said of the change ({@code ChangeFindings}). Not here: files, wording for the
 * terminal.
 */
package meniscus.core.compare;
