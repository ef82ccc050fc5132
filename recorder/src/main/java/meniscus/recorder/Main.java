package meniscus.recorder;

/** The program's entry point. */
public final class Main {

  private Main() {}

  public static void main(String[] arguments) {
    System.exit(0);
  }
}
