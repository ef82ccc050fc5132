/**
 * The example's driver for a microcontroller board: how its bytes become readings, and nothing else.
 * Lines, threads and files belong to the program that loads it.
 */
package bench.board;
