/**
 * A lift test: the plan, its ladder, what happened, the points kept and the remarks on them.
 *
 * <p>Here: plan, rungs, events, which points stand, lift points, remarks, and the one writing of
 * events and remarks as text. Not here: how a point is averaged (settle, steadiness, pipeline),
 * what is found across the lifts (finding) and files.
 */
package meniscus.core.lift;
