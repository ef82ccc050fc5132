package meniscus.recorder;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.PrintStream;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.cli.terminal.TerminalText;
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
    TerminalText text = TerminalText.here();
    PrintStream out = text.out(new FileOutputStream(FileDescriptor.out));
    PrintStream err = text.out(new FileOutputStream(FileDescriptor.err));
    int code = MeniscusCommand.run(out, err, text.in(System.in), arguments);
    out.flush();
    err.flush();
    System.exit(code);
  }
}
