/**
 * A lift test: the plan, its ladder, the points kept, and what can be said across the lifts.
 *
 * <p>Here: plan, rungs, lift points, findings across lifts. Not here: how a point is averaged
 * (settle, steadiness, pipeline) and files.
 */
package meniscus.core.lift;
