/**
 * The way from bytes to lift point. Read {@link meniscus.core.pipeline.Acquisition} first: it is
 * the whole main path in one file.
 *
 * <p>Here: decoding, aligning, flow samples, the window of a rung, the run along the ladder, and
 * working a recorded test out again. Not here: threads, clocks, files, the statistics of a window
 * (settle, steadiness), the equations (flow).
 */
package meniscus.core.pipeline;
