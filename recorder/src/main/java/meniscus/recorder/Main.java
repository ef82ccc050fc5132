package meniscus.recorder;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.self.ProgramFault;
import org.slf4j.LoggerFactory;

/** The program's entry point. */
public final class Main {

  private Main() {}

  public static void main(String[] arguments) {
    // Setting up the log takes as long as all else that a command needs to start: both at once.
    Thread log = new Thread(LoggerFactory::getILoggerFactory, "log");
    log.setDaemon(true);
    log.start();
    Thread.setDefaultUncaughtExceptionHandler(
        (thread, thrown) ->
            System.err.println(thread.getName() + ": " + ProgramFault.told(thrown)));
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
