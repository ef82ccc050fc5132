/**
 * Pacing of questions: when to ask, how long to wait, when to give up. Shared by all drivers that
 * ask. Here: time only. Not here: what is asked, what the answers look like.
 */
package meniscus.drivers.ask;
