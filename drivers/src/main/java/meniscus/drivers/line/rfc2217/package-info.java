/**
 * Serial ports behind a serial server on the network, set over the same connection (RFC 2217, on
 * Telnet, RFC 854). Start with {@link meniscus.drivers.line.rfc2217.Rfc2217Kind}.
 *
 * <p>Here: a pure codec and negotiation, and the line that uses them. Not here: plain TCP, which
 * many serial servers speak as well.
 */
package meniscus.drivers.line.rfc2217;
