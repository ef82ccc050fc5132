/**
 * A lift test: the plan, its ladder, what happened, and the points kept.
 *
 * <p>Here: plan, rungs, events, which points stand, lift points, and the one writing of events as
 * text. Not here: remarks (remark), how a point is averaged (settle, steadiness, pipeline), what is
 * found across the lifts (finding) and files.
 */
package meniscus.core.lift;
