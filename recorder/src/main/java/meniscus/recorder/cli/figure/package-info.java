/**
 * The shop calculator: one class a sum, each reading its quantities, asking core, and printing.
 *
 * <p>Not here: the equations (core.air, core.flow).
 */
package meniscus.recorder.cli.figure;
