/**
 * Physical quantities as small SI records, and units as people write them. Start with {@link
 * meniscus.core.quantity.Value}.
 *
 * <p>Here: quantities, units, reading and printing of "28 inH2O". Not here: equations, state of
 * air, anything that decides which unit a user sees.
 */
package meniscus.core.quantity;
