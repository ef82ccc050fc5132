package meniscus.recorder.cli;

import java.io.IOException;
import java.net.URI;
import java.util.List;
import java.util.Locale;

/** The browser that a person's system opens addresses in. */
final class UsualBrowser {

  private UsualBrowser() {}

  /**
   * @return false when the system has no way to open one
   */
  static boolean open(URI address) {
    try {
      new ProcessBuilder(command(System.getProperty("os.name", ""), address))
          .redirectOutput(ProcessBuilder.Redirect.DISCARD)
          .redirectError(ProcessBuilder.Redirect.DISCARD)
          .start();
      return true;
    } catch (IOException noneHere) {
      return false;
    }
  }

  static List<String> command(String system, URI address) {
    String name = system.toLowerCase(Locale.ROOT);
    String text = address.toString();
    if (name.startsWith("windows")) {
      return List.of("rundll32", "url.dll,FileProtocolHandler", text);
    }
    return List.of(name.startsWith("mac") ? "open" : "xdg-open", text);
  }
}
