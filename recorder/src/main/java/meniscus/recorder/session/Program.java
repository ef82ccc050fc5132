package meniscus.recorder.session;

/** This program's name and version, as written into files. */
public final class Program {

  private Program() {}

  public static String nameAndVersion() {
    return "Meniscus " + version();
  }

  public static String version() {
    String version = Program.class.getPackage().getImplementationVersion();
    return version == null ? "unpackaged" : version;
  }
}
