package meniscus.recorder.cli.terminal;

/**
 * A command cannot go on; the message says what, where and what to do, and goes to standard error
 * as it is.
 */
public final class CommandFailed extends RuntimeException {

  private static final long serialVersionUID = 1L;

  private final int exitCode;

  private CommandFailed(int exitCode, String message) {
    super(message);
    this.exitCode = exitCode;
  }

  /** The words of the call are wrong. */
  public static CommandFailed usage(String message) {
    return new CommandFailed(ExitCode.WRONG_USAGE, message);
  }

  /** A bench, a line or an instrument does not do what it should. */
  public static CommandFailed bench(String message) {
    return new CommandFailed(ExitCode.BENCH_FAULT, message);
  }

  /** A file is bad, damaged or not accepted. */
  public static CommandFailed data(String message) {
    return new CommandFailed(ExitCode.BAD_DATA, message);
  }

  public int exitCode() {
    return exitCode;
  }
}
