package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import meniscus.core.instrument.Channel;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.line.FoundLine;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.sheet.SheetFile;
import meniscus.drivers.sheet.ShippedSheets;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.SheetFiles;
import meniscus.recorder.json.JsonOut;

/** What a bench can be made of: lines that are plugged in, and instrument sheets. */
record SetUpChoices(Path benchFile, Drivers drivers) {
  /** More sheets than a shop has; what lies beyond is not looked at. */
  private static final int MOST_SHEETS = 60;

  ObjectNode json() {
    ObjectNode json = JsonOut.object();
    ArrayNode kinds = json.putArray("kinds");
    ArrayNode lines = json.putArray("lines");
    for (LineKind kind : drivers.lineKinds()) {
      kinds.add(kind.id());
      for (FoundLine line : kind.found()) {
        lines
            .addObject()
            .put("kind", line.kind())
            .put("port", line.port())
            .put("description", line.description());
      }
    }
    kinds.add(Feeds.SIMULATED);
    ArrayNode sheets = json.putArray("sheets");
    names().forEach(name -> add(sheets, name));
    return json;
  }

  private void add(ArrayNode sheets, String name) {
    try {
      SheetFile sheet = SheetFiles.read(name, benchFile);
      List<Channel> channels =
          drivers.named(sheet.instrument().driver()).channels(sheet.instrument());
      ObjectNode json = sheets.addObject().put("name", name);
      json.put("line", sheet.line().text("kind", ""));
      JsonOut.list(
          json,
          "channels",
          channels,
          (node, channel) ->
              node.put("name", channel.name())
                  .put("unit", channel.unit().symbol())
                  .put("quantity", channel.unit().dimension().word()));
    } catch (FileNotAccepted | Refusal e) {
      if (ShippedSheets.names().contains(name)) {
        throw e;
      }
      // Another JSON file that lies there: a plan, or the plates.
    }
  }

  private List<String> names() {
    List<String> names = new ArrayList<>(ShippedSheets.names());
    names.addAll(SheetFiles.ownNames());
    Path folder = benchFile.toAbsolutePath().getParent();
    for (Path each : List.of(folder, folder.resolve("sheets"))) {
      try (Stream<Path> files = Files.list(each)) {
        files
            .filter(file -> file.toString().endsWith(".json") && Files.isRegularFile(file))
            .sorted()
            .limit(MOST_SHEETS)
            .forEach(file -> names.add(folder.relativize(file).toString().replace('\\', '/')));
      } catch (IOException e) {
        // A folder that is not there has no sheets.
      }
    }
    return names;
  }
}
