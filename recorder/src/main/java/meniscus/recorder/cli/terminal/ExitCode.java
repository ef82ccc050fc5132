package meniscus.recorder.cli.terminal;

/** What a command tells the shell. */
public final class ExitCode {

  public static final int DONE = 0;
  public static final int WRONG_USAGE = 2;
  public static final int BENCH_FAULT = 3;
  public static final int BAD_DATA = 4;
  public static final int DONE_WITH_DOUBT = 5;

  /** A fault in the program itself; the number is EX_SOFTWARE of BSD's sysexits. */
  public static final int PROGRAM_FAULT = 70;

  public static final int INTERRUPTED = 130;

  private ExitCode() {}
}
