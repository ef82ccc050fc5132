package meniscus.drivers.line.serial;

import java.io.IOException;
import java.util.Map;
import meniscus.core.instrument.Settings;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.Lines;

/** A second program, for tests: opens a port, says so, and holds it until it is ended. */
final class HoldsAPort {

  private HoldsAPort() {}

  public static void main(String[] arguments) throws IOException, LineLost {
    Lines.opener(new Settings("other", Map.of("kind", "serial", "port", arguments[0]))).open();
    System.out.println("held");
    System.in.read();
  }
}
