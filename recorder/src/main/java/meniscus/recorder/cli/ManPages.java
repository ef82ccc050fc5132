package meniscus.recorder.cli;

import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.quantity.Text;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.HelpText;
import meniscus.recorder.cli.terminal.PluginsOption;
import meniscus.recorder.self.Version;
import picocli.AutoComplete;
import picocli.CommandLine;
import picocli.CommandLine.Help;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.Model.UsageMessageSpec;

/**
 * What a package brings for the shell, made from the same descriptions as {@code --help}: manual
 * pages in the {@code man} macros of roff, and completion for bash (and for zsh with {@code
 * bashcompinit}).
 */
public final class ManPages {

  /** Descriptions may hold references to defaults and line ends of picocli's own. */
  private static final Pattern MARKUP = Pattern.compile("%n|%%");

  private static final Pattern NOT_ASCII = Pattern.compile("[^\\x00-\\x7f]");

  private ManPages() {}

  /** Completion for bash. */
  public static String completion() {
    return AutoComplete.bash("meniscus", MeniscusCommand.whole(Console.silent()));
  }

  /** Manual pages by name of file, as {@code meniscus-record.1}. */
  public static Map<String, String> all() {
    Map<String, String> pages = new LinkedHashMap<>();
    add(pages, MeniscusCommand.whole(Console.silent()));
    return pages;
  }

  private static void add(Map<String, String> pages, CommandLine command) {
    String name = command.getCommandSpec().qualifiedName("-");
    if (!name.endsWith("-help")) {
      pages.put(name + ".1", page(name, command));
      command.getSubcommands().values().forEach(below -> add(pages, below));
    }
  }

  private static String page(String name, CommandLine command) {
    CommandSpec spec = command.getCommandSpec();
    UsageMessageSpec usage = spec.usageMessage();
    String description = plain(String.join("\n\n", usage.description()));
    int end = description.indexOf(". ");
    StringBuilder out = new StringBuilder();
    out.append(".TH \"").append(name.toUpperCase(Locale.ROOT)).append("\" 1 \"\" \"meniscus ");
    out.append(text(Version.own().number())).append("\" \"Meniscus\"\n");
    out.append(".SH NAME\n").append(text(name)).append(" \\- ");
    out.append(text(withoutStop(end < 0 ? description : description.substring(0, end))));
    out.append("\n.SH SYNOPSIS\n.nf\n");
    out.append(text(new Help(spec, Help.defaultColorScheme(Help.Ansi.OFF)).synopsis(0).strip()));
    out.append("\n.fi\n.SH DESCRIPTION\n").append(paragraphs(description));
    options(spec, out);
    if (!command.getSubcommands().isEmpty()) {
      out.append(".SH COMMANDS\n");
      command
          .getSubcommands()
          .values()
          .forEach(
              below ->
                  entry(
                      out,
                      "\\fB" + text(below.getCommandSpec().qualifiedName("-")) + "\\fR(1)",
                      HelpText.firstSentence(below.getCommandSpec())));
    }
    if (!usage.exitCodeList().isEmpty()) {
      out.append(".SH EXIT STATUS\n");
      usage.exitCodeList().forEach((code, means) -> entry(out, text(code.strip()), means));
    }
    out.append(".SH EXAMPLES\n.nf\n");
    out.append(text(plain(String.join("\n", usage.footer())).strip())).append("\n.fi\n");
    if (spec.parent() != null) {
      out.append(".SH SEE ALSO\n\\fB")
          .append(text(spec.parent().qualifiedName("-")))
          .append("\\fR(1)\n");
    }
    return out.toString();
  }

  private static void options(CommandSpec spec, StringBuilder out) {
    out.append(".SH OPTIONS\n");
    spec.positionalParameters().stream()
        .filter(parameter -> !parameter.hidden())
        .forEach(
            parameter ->
                entry(
                    out,
                    "\\fI" + text(parameter.paramLabel()) + "\\fR",
                    String.join(" ", parameter.description())));
    for (OptionSpec option : spec.options()) {
      if (!option.hidden() || PluginsOption.has(option)) {
        String names = "\\fB" + text(String.join(", ", option.names())) + "\\fR";
        String value =
            option.arity().max() == 0 ? "" : "=\\fI" + text(option.paramLabel()) + "\\fR";
        entry(out, names + value, String.join(" ", option.description()));
      }
    }
  }

  private static void entry(StringBuilder out, String term, String description) {
    out.append(".TP\n").append(term).append('\n').append(text(plain(description)));
    out.append('\n');
  }

  private static String paragraphs(String description) {
    return text(description).replaceAll("\n\n+", "\n.PP\n") + "\n";
  }

  private static String withoutStop(String sentence) {
    String stripped = sentence.strip();
    return stripped.endsWith(".") ? stripped.substring(0, stripped.length() - 1) : stripped;
  }

  private static String plain(String description) {
    return MARKUP.matcher(description).replaceAll(found -> found.group().equals("%n") ? "\n" : "%");
  }

  /**
   * Nothing in it is taken for an order to roff: no backslash, no point or quote at a beginning of
   * a line. Other letters than ASCII are named, for older roffs read Latin-1.
   */
  private static String text(String plain) {
    String escaped =
        plain.replace("\\", "\\e").replace("-", "\\-").replaceAll("(?m)^(?=[.'])", "\\\\&");
    return NOT_ASCII
        .matcher(escaped)
        .replaceAll(
            found -> Matcher.quoteReplacement(Text.of("\\[u%04X]", found.group().codePointAt(0))));
  }
}
