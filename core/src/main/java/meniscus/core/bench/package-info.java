/**
 * One flow bench: what stands on it, what it is used for, and how far it can be trusted. Start with
 * {@link meniscus.core.bench.Bench}.
 *
 * <p>Here: the bench as a value, flow elements, zero, leakage, calibration, repeatability, health.
 * Not here: files (the recorder reads and writes them), the test of a port (package lift).
 */
package meniscus.core.bench;
