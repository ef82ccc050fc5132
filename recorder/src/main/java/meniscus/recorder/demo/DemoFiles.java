package meniscus.recorder.demo;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;

/** The demo's invented bench and plan, as people would write them. */
final class DemoFiles {

  private DemoFiles() {}

  /** Text of {@code bench.json} or {@code plan.json}. */
  static String text(String name) {
    try (InputStream in = DemoFiles.class.getResourceAsStream("/meniscus/recorder/demo/" + name)) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException("the program's own " + name, e);
    }
  }
}
