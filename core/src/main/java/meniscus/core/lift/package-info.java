/**
 * A lift test: the plan and its rungs, the points kept, what happened to them, and the curve they
 * make.
 *
 * <p>Not here: how a point is averaged (settle, steadiness, pipeline), what can be said across the
 * lifts (finding), and files.
 */
package meniscus.core.lift;
