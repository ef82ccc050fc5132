/**
 * The power really pulled: the packaged program takes a test in a machine of its own, with a real
 * kernel and file system, on a disk that remembers every write and every flush in one order with
 * what was told. Of that log any number of power cuts are made afterwards.
 */
package meniscus.recorder.power;
