package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import meniscus.core.bench.Use;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.quantity.Text;
import meniscus.drivers.line.FoundLine;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.sheet.ShippedSheets;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.PluginsOption;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.PlainText;
import meniscus.recorder.file.SheetFiles;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.look.KnownSheet;
import meniscus.recorder.look.SheetGuess;
import meniscus.recorder.look.StartingBench;
import meniscus.recorder.plugin.Plugin;
import meniscus.recorder.plugin.PluginFolder;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code look}: what is plugged in. */
@Command(
    name = "look",
    mixinStandardHelpOptions = true,
    description = {
      "Shows what is plugged in: lines, drivers, instrument sheets, plugins. With --bench and --plan:",
      "checks what can be checked before a lift test without moving any air."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus look",
      "  meniscus look --plugins plugins --json",
      "  meniscus look --bench bench.json --plan plan.json",
      "  meniscus look --guess --write bench.json",
      "  meniscus look --guess --write bench.json --wiring",
      "  meniscus look --guess --ask --sheets sheets --on /dev/ttyUSB0"
    })
final class LookCommand implements Callable<Integer> {

  private final Console console;

  @Option(names = "--json", description = "one JSON object")
  private boolean json;

  @Mixin private PluginsOption plugins;

  @Mixin private Guesses guesses;

  @Mixin private DryRunOption dryRun;

  LookCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    PluginFolder folder = plugins.read(console);
    Drivers drivers = folder.drivers();
    if (dryRun.wanted(guesses.writes())) {
      try {
        return dryRun.run(console, drivers, guesses.seconds(), json);
      } catch (InterruptedException e) {
        return ExitCode.INTERRUPTED;
      }
    }
    List<FoundLine> lines =
        drivers.lineKinds().stream().map(LineKind::found).flatMap(List::stream).toList();
    try {
      List<SheetGuess.Outcome> outcomes = guesses.outcomes(lines, drivers);
      if (json) {
        ObjectNode object = asJson(lines, folder);
        Guesses.addTo(object.putArray("guesses"), outcomes);
        JsonOut.array(object, "faulty_sheets", guesses.faults());
        console.json(object);
      } else {
        say(lines, folder);
        if (!outcomes.isEmpty()) {
          console.say("Which sheets fit:");
          Guesses.say(console, outcomes);
        }
        guesses.faults().forEach(fault -> console.warn("not tried, " + fault));
      }
      Optional<Path> written = guesses.write(outcomes, lines, drivers);
      if (written.isEmpty()) {
        return ExitCode.DONE;
      }
      console.warn(written.get() + " is written, to start from: put in what stands on your bench");
      String byEye =
          StartingBench.byEye(BenchFile.read(written.get())).stream()
              .map(Use::word)
              .collect(Collectors.joining(", "));
      if (!byEye.isEmpty()) {
        console.warn("no gauge was recognised for " + byEye + ": written as columns read by eye");
      }
      return json ? ExitCode.DONE : dryRun.newBench(console, drivers, written.get());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private void say(List<FoundLine> lines, PluginFolder folder) {
    console.say("Lines:");
    if (lines.isEmpty()) {
      console.say("  none found: is the cable in, and may you open the device?");
    }
    for (FoundLine line : lines) {
      console.say("  " + line.kind() + "  " + line.port() + "  " + line.description() + ids(line));
    }
    console.say("Drivers:");
    for (InstrumentDriver driver : folder.drivers().all()) {
      console.say("  " + driver.id() + "  " + driver.summary());
    }
    console.say("Instrument sheets shipped, each with an example of what it reads:");
    ShippedSheets.names().forEach(name -> say(KnownSheet.named(name, folder.drivers())));
    List<String> own = SheetFiles.ownNames();
    if (!own.isEmpty()) {
      console.say("Your own, in " + SheetFiles.ownFolder() + ":");
      own.forEach(name -> console.say("  " + name));
    }
    console.say("Plugins:");
    if (folder.found().isEmpty()) {
      console.say("  none");
    }
    for (Plugin plugin : folder.found()) {
      console.say("  " + plugin.jar() + "  " + plugin.id() + "  " + state(plugin));
      console.say("    sha256 " + plugins.sha256(plugin));
    }
  }

  private void say(KnownSheet sheet) {
    console.say(
        Text.of("  %-22s %s", sheet.name(), PlainText.of(sheet.file().instrument().name())));
    console.say("  " + " ".repeat(23) + sheet.file().example());
  }

  private static String state(Plugin plugin) {
    return plugin.refused().map(reason -> "refused: " + reason).orElse("ready");
  }

  private static String ids(FoundLine line) {
    return line.ids().isEmpty() ? "" : "  " + new TreeMap<>(line.ids());
  }

  private ObjectNode asJson(List<FoundLine> lines, PluginFolder folder) {
    ObjectNode all = JsonOut.object();
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
    JsonOut.list(
        all,
        "drivers",
        folder.drivers().all(),
        (node, driver) ->
            node.put("id", driver.id())
                .put("summary", driver.summary())
                .put("state", "ready")
                .put("reason", ""));
    JsonOut.array(all, "sheets", ShippedSheets.names());
    ArrayNode catalogue = all.putArray("catalogue");
    for (String name : ShippedSheets.names()) {
      KnownSheet sheet = KnownSheet.named(name, folder.drivers());
      catalogue
          .addObject()
          .put("sheet", name)
          .put("name", sheet.file().instrument().name())
          .put("driver", sheet.driver().id())
          .put("example", sheet.file().example());
    }
    JsonOut.array(all, "own_sheets", SheetFiles.ownNames());
    JsonOut.list(
        all,
        "plugins",
        folder.found(),
        (node, plugin) ->
            node.put("jar", plugin.jar())
                .put("sha256", plugins.sha256(plugin))
                .put("id", plugin.id())
                .put("state", plugin.refused().isEmpty() ? "ready" : "refused")
                .put("reason", plugin.refused().orElse("")));
    return all;
  }
}
