package meniscus.recorder.cli;

import java.util.Optional;
import java.util.concurrent.Callable;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.PluginsOption;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code meniscus help}: what {@code --help} says of a command, and of the plugin options. */
@Command(
    name = "help",
    mixinStandardHelpOptions = true,
    description = "Explains a command, or the options for drivers and lines of your own.",
    footer = {"", "Examples:", "  meniscus help record", "  meniscus help plugins"})
final class HelpCommand implements Callable<Integer> {

  private static final String PLUGINS = "plugins";

  private final Console console;

  @Spec private CommandSpec spec;

  @Parameters(
      arity = "0..1",
      paramLabel = "COMMAND|plugins",
      description = "What is to be explained; nothing: the list of commands.")
  private Optional<String> about = Optional.empty();

  HelpCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    CommandLine all = spec.parent().commandLine();
    if (about.isEmpty()) {
      all.usage(console.out());
    } else if (about.get().equals(PLUGINS)) {
      console.say("Options of every command that reads instruments, for drivers and kinds of line");
      console.say("of your own:");
      console.say(PluginsOption.explained().stripTrailing());
    } else if (all.getSubcommands().containsKey(about.get())) {
      all.getSubcommands().get(about.get()).usage(console.out());
    } else {
      throw CommandFailed.usage("there is no command \"" + about.get() + "\": see meniscus --help");
    }
    return ExitCode.DONE;
  }
}
