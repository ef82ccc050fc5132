package meniscus.recorder.plugin;

import java.io.IOException;
import java.net.URL;
import java.net.URLClassLoader;
import java.util.Enumeration;
import java.util.List;

/**
 * The classes of one jar, and of the program only what plugins share with it: a plugin brings its
 * own libraries, whatever versions the program has.
 */
final class PluginLoader extends URLClassLoader {

  /**
   * Always the program's. The serial library among them, because its native half can be loaded once
   * only.
   */
  private static final List<String> SHARED =
      List.of(
          "java.",
          "javax.",
          "jdk.",
          "meniscus.core.",
          "meniscus.drivers.line.",
          "org.slf4j.",
          "com.fazecast.");

  private final ClassLoader program;

  PluginLoader(URL jar, ClassLoader program) {
    super(new URL[] {jar}, ClassLoader.getPlatformClassLoader());
    this.program = program;
  }

  @Override
  protected Class<?> loadClass(String name, boolean resolve) throws ClassNotFoundException {
    synchronized (getClassLoadingLock(name)) {
      Class<?> found = findLoadedClass(name);
      if (found == null) {
        found = SHARED.stream().anyMatch(name::startsWith) ? program.loadClass(name) : own(name);
      }
      if (resolve) {
        resolveClass(found);
      }
      return found;
    }
  }

  private Class<?> own(String name) throws ClassNotFoundException {
    try {
      return findClass(name);
    } catch (ClassNotFoundException notInTheJar) {
      return super.loadClass(name, false);
    }
  }

  @Override
  public URL getResource(String name) {
    return findResource(name);
  }

  /** Of the jar alone, or the program's own drivers would be found in each jar. */
  @Override
  public Enumeration<URL> getResources(String name) throws IOException {
    return findResources(name);
  }
}
