package meniscus.recorder.cli;

import java.io.InputStream;
import java.io.PrintStream;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import meniscus.recorder.file.FileNotAccepted;
import org.slf4j.LoggerFactory;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.ParameterException;

/** The command {@code meniscus}: the list of commands, and how failures become exit codes. */
@Command(
    name = "meniscus",
    mixinStandardHelpOptions = true,
    versionProvider = MeniscusCommand.Version.class,
    synopsisSubcommandLabel = "COMMAND",
    description = "Bench instrument logger for a flow bench.",
    footer = {
      "",
      "Try it without a bench:",
      "  meniscus demo --quick --out demo",
      "Each command explains itself:",
      "  meniscus record --help"
    })
public final class MeniscusCommand {

  private MeniscusCommand() {}

  /** All commands, in the order in which the help lists them. */
  private static final Map<String, Function<Console, Object>> COMMANDS = new LinkedHashMap<>();

  static {
    COMMANDS.put("demo", DemoCommand::new);
    COMMANDS.put("look", LookCommand::new);
    COMMANDS.put("listen", ListenCommand::new);
    COMMANDS.put("zero", ZeroCommand::new);
    COMMANDS.put("leakage", LeakageCommand::new);
    COMMANDS.put("calibrate", CalibrateCommand::new);
    COMMANDS.put("check", CheckCommand::new);
    COMMANDS.put("calm", CalmCommand::new);
    COMMANDS.put("health", HealthCommand::new);
    COMMANDS.put("record", RecordCommand::new);
    COMMANDS.put("page", PageCommand::new);
    COMMANDS.put("judge", JudgeCommand::new);
    COMMANDS.put("compare", CompareCommand::new);
    COMMANDS.put("report", ReportCommand::new);
    COMMANDS.put("recompute", RecomputeCommand::new);
    COMMANDS.put("note", NoteCommand::new);
    COMMANDS.put("export", ExportCommand::new);
    COMMANDS.put("figure", FigureCommand::new);
  }

  /** The command that is asked for alone: to build all of them takes half of the start. */
  private static Set<String> needed(String... arguments) {
    return arguments.length > 0 && COMMANDS.containsKey(arguments[0])
        ? Set.of(arguments[0])
        : COMMANDS.keySet();
  }

  /**
   * Runs one command line.
   *
   * @return the exit code
   */
  public static int run(PrintStream out, PrintStream err, InputStream in, String... arguments) {
    Console console = new Console(out, err, in);
    CommandLine line = new CommandLine(new MeniscusCommand());
    needed(arguments).forEach(name -> line.addSubcommand(COMMANDS.get(name).apply(console)));
    HelpText.flow(line);
    return line.setOut(writer(out))
        .setErr(writer(err))
        .setCaseInsensitiveEnumValuesAllowed(true)
        .setParameterExceptionHandler(MeniscusCommand::wrongUsage)
        .setExecutionExceptionHandler((e, failed, result) -> failed(e, console))
        .execute(arguments.length == 0 ? new String[] {"--help"} : arguments);
  }

  private static PrintWriter writer(PrintStream stream) {
    return new PrintWriter(stream, true, StandardCharsets.UTF_8);
  }

  private static int wrongUsage(ParameterException e, String[] arguments) {
    PrintWriter err = e.getCommandLine().getErr();
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
    LoggerFactory.getLogger(MeniscusCommand.class).debug("command failed", e);
    console.warn(
        "this is a fault in the program, not in your bench: "
            + e
            + "; nothing kept is lost. Run again with -Dmeniscus.log=debug to see where.");
    return ExitCode.BENCH_FAULT;
  }

  /** The version in the jar's manifest. */
  static final class Version implements CommandLine.IVersionProvider {
    @Override
    public String[] getVersion() {
      String version = MeniscusCommand.class.getPackage().getImplementationVersion();
      return new String[] {"meniscus " + (version == null ? "(not packaged)" : version)};
    }
  }
}
