/**
 * A look at one line: what comes over it, what a sheet makes of it, which sheets fit, and a bench
 * file to start from. Start with {@link meniscus.recorder.look.SheetTrial}.
 *
 * <p>Here: looking, before there is a bench. Not here: lift tests and their readings.
 */
package meniscus.recorder.look;
