/**
 * What instrument sheets have in common: the sheets shipped with the program, taking a sheet file
 * apart, raw numbers to channel values, checksums. Start with {@link
 * meniscus.drivers.sheet.ShippedSheets}.
 *
 * <p>Here: plain values and pure functions. Not here: JSON (whoever reads files passes {@link
 * meniscus.core.instrument.Settings}), protocols, lines.
 */
package meniscus.drivers.sheet;
