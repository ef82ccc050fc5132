/**
 * Lines over TCP: serial servers, network instruments. Here: sockets. Not here: protocols on top.
 */
package meniscus.drivers.line.tcp;
