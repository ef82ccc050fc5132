/**
 * What names a file by its content ({@code Sha256}).
 *
 * <p>Not here: what is done with such a name: calibrations, plugins, programs and test folders each
 * decide that themselves.
 */
package meniscus.drivers.hash;
