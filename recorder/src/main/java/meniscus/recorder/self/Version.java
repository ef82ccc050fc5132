package meniscus.recorder.self;

import java.io.IOException;
import java.io.InputStream;
import java.net.URL;
import java.util.Enumeration;
import java.util.jar.Manifest;

/**
 * Which program this is, and on what it runs: what somebody who helps from afar asks first.
 *
 * @param number as in {@code 0.2.0}
 * @param commit of the sources it was built from
 */
public record Version(String number, String commit) {

  private static final String UNKNOWN = "unknown";

  /** That of the jar which this class came from. */
  public static Version own() {
    try {
      Enumeration<URL> manifests =
          Version.class.getClassLoader().getResources("META-INF/MANIFEST.MF");
      while (manifests.hasMoreElements()) {
        try (InputStream in = manifests.nextElement().openStream()) {
          var entries = new Manifest(in).getMainAttributes();
          String commit = entries.getValue("Meniscus-Commit");
          if (commit != null) {
            // Built from sources that are no git repository, the place holder stays.
            return new Version(
                entries.getValue("Implementation-Version"),
                commit.startsWith("$") ? UNKNOWN : commit);
          }
        }
      }
    } catch (IOException noManifest) {
      // Not packaged, then.
    }
    return new Version("unpackaged", UNKNOWN);
  }

  /** Program and commit, Java, system: a line each. */
  public String[] lines() {
    return new String[] {
      "meniscus " + number + ", commit " + commit,
      "Java " + property("java.version") + ", " + property("java.vendor"),
      property("os.name") + " " + property("os.version") + ", " + property("os.arch")
    };
  }

  private static String property(String name) {
    return System.getProperty(name, UNKNOWN);
  }
}
