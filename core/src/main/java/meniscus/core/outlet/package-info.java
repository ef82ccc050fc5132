/**
 * The second plugin door: what carries facts out of the program. Read {@link
 * meniscus.core.outlet.OutletPlugin} first; the other door is {@code meniscus.core.instrument}.
 *
 * <p>Here: interfaces and values. Not here: networks, files, which facts there are, and how far a
 * receiver has come. The host keeps all that; a plugin only carries.
 */
package meniscus.core.outlet;
