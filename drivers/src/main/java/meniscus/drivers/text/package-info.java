/**
 * Instruments that speak in lines of text, taught by instrument sheets: {@link
 * meniscus.drivers.text.TextStreamDriver} for those that speak by themselves, {@link
 * meniscus.drivers.text.TextAskDriver} for those that answer.
 *
 * <p>Here: cutting bytes into lines, reading numbers out of lines, asking. Not here: what the
 * numbers mean; lines as in "serial line".
 */
package meniscus.drivers.text;
