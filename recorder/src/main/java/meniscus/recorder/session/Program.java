package meniscus.recorder.session;

import meniscus.recorder.self.Version;

/** This program's name and version, as written into files. */
public final class Program {

  private Program() {}

  public static String nameAndVersion() {
    return "Meniscus " + version();
  }

  public static String version() {
    return Version.own().number();
  }
}
