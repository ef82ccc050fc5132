package meniscus.recorder.cli;

import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.util.List;
import java.util.stream.Stream;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.figure.FigureCommand;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.HelpText;
import meniscus.recorder.cli.upkeep.CalibrateCommand;
import meniscus.recorder.cli.upkeep.CalmCommand;
import meniscus.recorder.cli.upkeep.CheckCommand;
import meniscus.recorder.cli.upkeep.GaugesCommand;
import meniscus.recorder.cli.upkeep.HealthCommand;
import meniscus.recorder.cli.upkeep.LeakageCommand;
import meniscus.recorder.cli.upkeep.RepeatCommand;
import meniscus.recorder.cli.upkeep.ZeroCommand;
import meniscus.recorder.disk.Trouble;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.self.ProgramFault;
import meniscus.recorder.self.ProgramLog;
import meniscus.recorder.self.Version;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.ScopeType;

/** The command {@code meniscus}: the list of commands, and how failures become exit codes. */
@Command(
    name = "meniscus",
    mixinStandardHelpOptions = true,
    versionProvider = MeniscusCommand.OwnVersion.class,
    synopsisSubcommandLabel = "COMMAND",
    description = "Bench instrument logger for a flow bench.",
    exitCodeListHeading = "%nExit codes:%n",
    exitCodeList = {
      "  0:done",
      "  2:wrong usage",
      "  3:a fault of the bench or an instrument",
      "  4:bad or damaged data, or a file not accepted",
      "  5:done, but with something to doubt",
      " 70:a fault in the program itself; where it happened is in the log",
      "130:interrupted; everything kept so far is safe"
    },
    footer = {
      "",
      "Try it without a bench:",
      "  meniscus demo --quick --out demo",
      "Each command explains itself:",
      "  meniscus record --help"
    })
public final class MeniscusCommand {

  private MeniscusCommand() {}

  @Option(
      names = "--verbose",
      scope = ScopeType.INHERIT,
      description = "say on standard error, and write to the log, what goes on inside")
  void verbose(boolean asked) {
    if (asked) {
      ProgramLog.tellAll();
    }
  }

  /** Explains all others, so it needs them. */
  private static final String HELP = "help";

  private static final List<String> VERSION = List.of("--version", "-V");

  /** All commands, in the order in which the help lists them. */
  private static final List<String> COMMANDS =
      List.of(
          "demo",
          "look",
          "listen",
          "zero",
          "gauges",
          "leakage",
          "calibrate",
          "check",
          "calm",
          "repeat",
          "health",
          "record",
          "page",
          "judge",
          "compare",
          "report",
          "recompute",
          "note",
          "export",
          "pack",
          "collect",
          "import",
          "figure",
          HELP);

  /** One of them; a table of their constructors would load the classes of all. */
  private static Object command(String name, Console console, String... arguments) {
    return switch (name) {
      case "demo" -> new DemoCommand(console);
      case "look" -> new LookCommand(console);
      case "listen" -> new ListenCommand(console);
      case "zero" -> new ZeroCommand(console);
      case "gauges" -> new GaugesCommand(console);
      case "leakage" -> new LeakageCommand(console);
      case "calibrate" -> new CalibrateCommand(console);
      case "check" -> new CheckCommand(console);
      case "calm" -> new CalmCommand(console);
      case "repeat" -> new RepeatCommand(console);
      case "health" -> new HealthCommand(console);
      case "record" -> new RecordCommand(console);
      case "page" -> new PageCommand(console);
      case "judge" -> new JudgeCommand(console);
      case "compare" -> new CompareCommand(console);
      case "report" -> new ReportCommand(console);
      case "recompute" -> new RecomputeCommand(console);
      case "note" -> new NoteCommand(console);
      case "import" -> new ImportCommand(console);
      case "pack" -> new PackCommand(console);
      case "collect" -> new CollectCommand(console);
      case "export" -> new ExportCommand(console);
      case "figure" -> FigureCommand.with(arguments.length > 1 ? arguments[1] : "", console);
      case HELP -> new HelpCommand(console);
      default -> throw new IllegalArgumentException(name);
    };
  }

  /** The command that is asked for alone, none for the version: all take half of the start. */
  static List<String> needed(String... arguments) {
    if (arguments.length == 1 && VERSION.contains(arguments[0])) {
      return List.of();
    }
    return arguments.length > 0 && COMMANDS.contains(arguments[0]) && !arguments[0].equals(HELP)
        ? List.of(arguments[0])
        : COMMANDS;
  }

  /**
   * Runs one command line.
   *
   * @return the exit code
   */
  public static int run(PrintStream out, PrintStream err, InputStream in, String... arguments) {
    return run(new Console(out, err, in), arguments);
  }

  /** The same, where the streams and the clock are somebody's own. */
  public static int run(Console streams, String... arguments) {
    Console console = streams.as(form(arguments));
    CommandLine line = with(needed(arguments), console, arguments);
    try {
      return line.setOut(writer(console.out()))
          .setErr(writer(console.err()))
          .setCaseInsensitiveEnumValuesAllowed(true)
          .setDefaultValueProvider(new ConfigDefaults(arguments))
          .setParameterExceptionHandler(MeniscusCommand::wrongUsage)
          .setExecutionExceptionHandler((e, failed, result) -> failed(e, console))
          .execute(arguments.length == 0 ? new String[] {"--help"} : arguments);
    } catch (RuntimeException | Error e) {
      return fault(e, console);
    }
  }

  /** The name of a command, and of the sum where it is a shop sum: as {@code figure-air}. */
  private static String form(String... arguments) {
    List<String> words = Stream.of(arguments).filter(word -> !word.startsWith("-")).toList();
    boolean sum = words.size() > 1 && words.get(0).equals("figure");
    return words.isEmpty() ? "answer" : words.get(0) + (sum ? "-" + words.get(1) : "");
  }

  /** The command with all others below it. */
  static CommandLine whole(Console console) {
    return with(COMMANDS, console);
  }

  private static CommandLine with(List<String> commands, Console console, String... arguments) {
    CommandLine line = new CommandLine(new MeniscusCommand());
    commands.forEach(name -> line.addSubcommand(command(name, console, arguments)));
    HelpText.flow(line);
    return line;
  }

  /** In the stream's own charset, which Java 17 does not tell. */
  private static PrintWriter writer(PrintStream stream) {
    return new PrintWriter(
        new Writer() {
          @Override
          public void write(char[] letters, int from, int count) {
            stream.print(String.valueOf(letters, from, count));
          }

          @Override
          public void flush() {
            stream.flush();
          }

          @Override
          public void close() {}
        },
        true);
  }

  private static int wrongUsage(ParameterException e, String[] arguments) {
    PrintWriter err = e.getCommandLine().getErr();
    // The config file is read where the command line leaves something out.
    if (e.getCause() instanceof FileNotAccepted config) {
      err.println(config.getMessage());
      err.flush();
      return ExitCode.BAD_DATA;
    }
    err.println(e.getMessage());
    CommandLine.UnmatchedArgumentException.printSuggestions(e, err);
    err.println("See: " + e.getCommandLine().getCommandSpec().qualifiedName() + " --help");
    err.flush();
    return ExitCode.WRONG_USAGE;
  }

  private static int failed(Exception e, Console console) {
    if (e instanceof CommandFailed failure) {
      console.warn(failure.getMessage());
      return failure.exitCode();
    }
    if (e instanceof FileNotAccepted) {
      console.warn(e.getMessage());
      return ExitCode.BAD_DATA;
    }
    if (e instanceof Refusal) {
      console.warn(e.getMessage());
      return ExitCode.BENCH_FAULT;
    }
    if (e instanceof IOException || e instanceof UncheckedIOException) {
      console.warn("a file cannot be read or written: " + Trouble.inWords(e));
      return ExitCode.BAD_DATA;
    }
    return fault(e, console);
  }

  private static int fault(Throwable thrown, Console console) {
    console.warn(ProgramFault.told(thrown));
    return ExitCode.PROGRAM_FAULT;
  }

  /** Program and commit, Java, system. */
  static final class OwnVersion implements CommandLine.IVersionProvider {
    @Override
    public String[] getVersion() {
      return Version.own().lines();
    }
  }
}
