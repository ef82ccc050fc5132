package meniscus.recorder;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import meniscus.recorder.cli.MeniscusCommand;

/** The program's entry point. */
public final class Main {

  private Main() {}

  public static void main(String[] arguments) {
    // Read by the log when it is first used; the rest of its settings are in
    // simplelogger.properties.
    System.setProperty(
        "org.slf4j.simpleLogger.defaultLogLevel", System.getProperty("meniscus.log", "warn"));
    PrintStream out = utf8(FileDescriptor.out);
    PrintStream err = utf8(FileDescriptor.err);
    int code = MeniscusCommand.run(out, err, System.in, arguments);
    out.flush();
    err.flush();
    System.exit(code);
  }

  /** Whatever the platform's charset is, data on stdout is UTF-8. */
  private static PrintStream utf8(FileDescriptor descriptor) {
    return new PrintStream(new FileOutputStream(descriptor), true, StandardCharsets.UTF_8);
  }
}
