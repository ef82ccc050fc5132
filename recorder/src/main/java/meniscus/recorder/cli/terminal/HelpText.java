package meniscus.recorder.cli.terminal;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import meniscus.core.quantity.Text;
import picocli.CommandLine;
import picocli.CommandLine.Help;
import picocli.CommandLine.Help.Column;
import picocli.CommandLine.Help.Column.Overflow;
import picocli.CommandLine.Help.TextTable;
import picocli.CommandLine.IHelpSectionRenderer;
import picocli.CommandLine.Model.UsageMessageSpec;

/**
 * Lets help texts flow: the lines of a description are broken where the terminal ends, not where
 * the source does, a line to copy stays whole, and a list of commands shows the first sentence of
 * each.
 */
public final class HelpText {

  private static final int SPACE_AROUND_NAME = 4;
  private static final String PLUGINS = "--plugins";
  private static final String NEW_LINE = System.lineSeparator();

  private HelpText() {}

  /** A command and all below it. */
  public static void flow(CommandLine line) {
    UsageMessageSpec usage = line.getCommandSpec().usageMessage();
    usage.description(paragraphs(usage.description()));
    usage.footer(paragraphs(usage.footer()));
    Map<String, IHelpSectionRenderer> sections = usage.sectionMap();
    sections.put(
        UsageMessageSpec.SECTION_KEY_COMMAND_LIST, help -> list(line.getSubcommands(), help));
    sections.put(UsageMessageSpec.SECTION_KEY_DESCRIPTION, help -> text(usage.description(), help));
    sections.put(UsageMessageSpec.SECTION_KEY_FOOTER, help -> text(usage.footer(), help));
    if (line.getCommandSpec().findOption(PLUGINS) != null) {
      sections.put(
          UsageMessageSpec.SECTION_KEY_OPTION_LIST,
          help -> help.optionList() + "Plugin options: meniscus help plugins" + NEW_LINE);
    }
    line.getSubcommands().values().forEach(HelpText::flow);
  }

  /**
   * Lines that follow one another are one paragraph; empty and indented ones stay by themselves.
   */
  private static String[] paragraphs(String... lines) {
    List<String> flowing = new ArrayList<>();
    boolean open = false;
    for (String line : lines) {
      boolean text = !line.isBlank() && !line.startsWith(" ");
      if (open && text) {
        flowing.set(flowing.size() - 1, flowing.get(flowing.size() - 1) + " " + line);
      } else {
        flowing.add(line);
      }
      open = text && !line.endsWith(":");
    }
    return flowing.toArray(String[]::new);
  }

  /** Paragraphs are broken where the terminal ends; an indented line is one to copy, whole. */
  private static String text(String[] lines, Help help) {
    int width = help.commandSpec().usageMessage().width();
    StringBuilder out = new StringBuilder();
    for (String line : lines) {
      if (line.startsWith(" ")) {
        out.append(Text.of(line)).append(NEW_LINE);
      } else {
        Help.join(help.ansi(), width, true, new String[] {line}, out);
      }
    }
    return out.toString();
  }

  private static String list(Map<String, CommandLine> commands, Help help) {
    if (commands.isEmpty()) {
      return "";
    }
    int widest = commands.keySet().stream().mapToInt(String::length).max().orElseThrow();
    int nameWidth = widest + SPACE_AROUND_NAME;
    int width = help.commandSpec().usageMessage().width();
    TextTable table =
        TextTable.forColumns(
            help.colorScheme(),
            new Column(nameWidth, 2, Overflow.SPAN),
            new Column(width - nameWidth, 0, Overflow.WRAP));
    commands.forEach(
        (name, command) -> table.addRowValues(name, firstSentence(command.getCommandSpec())));
    return table.toString();
  }

  public static String firstSentence(CommandLine.Model.CommandSpec command) {
    String text = command.usageMessage().description()[0];
    int end = text.indexOf(". ");
    return (end < 0 ? text : text.substring(0, end + 1)).replace("%%", "%");
  }
}
