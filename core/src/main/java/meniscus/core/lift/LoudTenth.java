package meniscus.core.lift;

/**
 * How loud the fast channel was in one tenth of a second of a kept rung.
 *
 * @param rung number on the ladder
 * @param tenth which tenth of a second of the test's clock
 * @param lowPa root mean square from 20 to 100 Hz [Pa]
 * @param middlePa from 100 to 500 Hz; NaN where the stream is too slow for it [Pa]
 * @param highPa from 500 to 2000 Hz; likewise [Pa]
 */
public record LoudTenth(int rung, long tenth, double lowPa, double middlePa, double highPa) {}
