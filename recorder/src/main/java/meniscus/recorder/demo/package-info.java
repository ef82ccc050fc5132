/**
 * The demo: a whole invented before/after job on the built-in simulated bench, by the same classes
 * that serve a real one. Start with {@link meniscus.recorder.demo.DemoJob}.
 *
 * <p>Here: the order of the job, its invented bench and plan, the simulation's truth. Not here:
 * anything that measures or decides.
 */
package meniscus.recorder.demo;
