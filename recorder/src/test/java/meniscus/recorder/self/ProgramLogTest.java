package meniscus.recorder.self;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.util.LogbackMDCAdapter;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;

class ProgramLogTest {

  @Test
  void aWarningIsOneLineAndWhatWasThrownStandsBelowIt() {
    List<String> lines =
        logged(
            context -> {
              context.getLogger("meniscus.drivers.Line").warn("port {} is gone", "ttyÜ");
              context.getLogger("root-of-none").error("not read", new IOException("cut"));
              context.getLogger("quiet").info("not shown");
            });
    assertEquals("WARN Line: port ttyÜ is gone", lines.get(0));
    assertEquals("ERROR root-of-none: not read", lines.get(1));
    assertEquals("java.io.IOException: cut", lines.get(2));
    assertTrue(
        lines.get(3).strip().startsWith("at meniscus.recorder.self.ProgramLogTest"), lines.get(3));
    assertTrue(lines.stream().noneMatch(line -> line.contains("not shown")), lines.toString());
  }

  private static List<String> logged(Consumer<LoggerContext> work) {
    PrintStream before = System.err;
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    System.setErr(new PrintStream(bytes, true, StandardCharsets.UTF_8));
    try {
      LoggerContext context = new LoggerContext();
      context.setMDCAdapter(new LogbackMDCAdapter());
      ProgramLog log = new ProgramLog();
      log.setContext(context);
      log.configure(context);
      work.accept(context);
      context.stop();
    } finally {
      System.setErr(before);
    }
    return bytes.toString(StandardCharsets.UTF_8).lines().toList();
  }
}
