/**
 * Drivers, kinds of line and outlets out of jars in a folder. Start with {@link
 * meniscus.recorder.plugin.PluginFolder}.
 *
 * <p>Here: one class loader a jar, and guards that keep a plugin's faults from the rest of the
 * program. Not here: what a bench does with its drivers and outlets. A guard keeps accidents out,
 * not malice: a plugin runs with all the rights of the program.
 */
package meniscus.recorder.plugin;
