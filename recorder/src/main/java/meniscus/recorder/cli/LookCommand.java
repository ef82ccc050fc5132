package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.drivers.line.FoundLine;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.Lines;
import meniscus.drivers.sheet.ShippedSheets;
import meniscus.recorder.session.Drivers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code look}: what is plugged in. */
@Command(
    name = "look",
    mixinStandardHelpOptions = true,
    description = "Shows what is plugged in: lines, drivers, instrument sheets, plugins.",
    footer = {"", "Examples:", "  meniscus look", "  meniscus look --json"})
final class LookCommand implements Callable<Integer> {

  private final Console console;

  @Option(names = "--json", description = "one JSON object")
  private boolean json;

  LookCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    List<FoundLine> lines =
        Lines.kinds().stream().map(LineKind::found).flatMap(List::stream).toList();
    Drivers drivers = Drivers.shipped();
    if (json) {
      console.json(asJson(lines, drivers));
    } else {
      say(lines, drivers);
    }
    return ExitCode.DONE;
  }

  private void say(List<FoundLine> lines, Drivers drivers) {
    console.say("Lines:");
    if (lines.isEmpty()) {
      console.say("  none found: is the cable in, and may you open the device?");
    }
    for (FoundLine line : lines) {
      console.say("  " + line.kind() + "  " + line.port() + "  " + line.description() + ids(line));
    }
    console.say("Drivers:");
    for (InstrumentDriver driver : drivers.all()) {
      console.say("  " + driver.id() + "  " + driver.summary());
    }
    console.say("Instrument sheets shipped:");
    ShippedSheets.names().forEach(name -> console.say("  " + name));
    console.say("Plugins:");
    console.say("  none");
  }

  private static String ids(FoundLine line) {
    return line.ids().isEmpty() ? "" : "  " + new TreeMap<>(line.ids());
  }

  private static ObjectNode asJson(List<FoundLine> lines, Drivers drivers) {
    ObjectNode all = JsonNodeFactory.instance.objectNode();
    ArrayNode found = all.putArray("lines");
    for (FoundLine line : lines) {
      ObjectNode object = found.addObject();
      object.put("kind", line.kind()).put("port", line.port());
      object.put("description", line.description());
      ObjectNode ids = object.putObject("ids");
      for (Map.Entry<String, String> id : new TreeMap<>(line.ids()).entrySet()) {
        ids.put(id.getKey(), id.getValue());
      }
    }
    ArrayNode speaks = all.putArray("drivers");
    for (InstrumentDriver driver : drivers.all()) {
      speaks
          .addObject()
          .put("id", driver.id())
          .put("summary", driver.summary())
          .put("state", "ready")
          .put("reason", "");
    }
    ArrayNode sheets = all.putArray("sheets");
    ShippedSheets.names().forEach(sheets::add);
    all.putArray("plugins");
    return all;
  }
}
