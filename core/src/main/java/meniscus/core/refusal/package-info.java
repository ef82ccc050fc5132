/**
 * How the program says no to what a person gave it. Not here: faults in the program itself, which
 * stay what Java throws.
 */
package meniscus.core.refusal;
