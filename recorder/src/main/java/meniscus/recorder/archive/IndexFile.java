package meniscus.recorder.archive;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.ObjectReader;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.recorder.file.PlateFile;
import meniscus.recorder.file.WholeFile;

/**
 * The index as JSON lines: a first line that says what it is, then one line a finished test.
 * Anything that does not fit makes it an empty one: it is only a memory.
 */
final class IndexFile {

  private static final String FORMAT = "index/3";
  private static final String PLATE = "plate";
  private static final ObjectMapper JSON = new ObjectMapper();

  private IndexFile() {}

  static IndexContent read(Path file) {
    IndexContent content = IndexContent.empty();
    ObjectReader json = JSON.readerFor(JsonNode.class);
    try (BufferedReader lines = Files.newBufferedReader(file, StandardCharsets.UTF_8)) {
      String first = lines.readLine();
      if (first == null || !json.readTree(first).path("meniscus").asText().equals(FORMAT)) {
        return IndexContent.empty();
      }
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        JsonNode tree = json.readTree(line);
        String name = tree.get("name").asText();
        if (tree.has(PLATE)) {
          content.plates().put(name, plate(name, tree));
        } else {
          content.tests().put(name, entry(tree));
        }
      }
    } catch (IOException | RuntimeException unreadable) {
      return IndexContent.empty();
    }
    return content;
  }

  static void write(Path file, IndexContent content) throws IOException {
    StringBuilder text = new StringBuilder();
    text.append(JSON.createObjectNode().put("meniscus", FORMAT)).append('\n');
    for (IndexEntry entry : content.tests().values()) {
      if (!entry.stamp().isEmpty()) {
        text.append(JSON.writeValueAsString(tree(entry))).append('\n');
      }
    }
    for (PlateEntry plate : content.plates().values()) {
      if (!plate.stamp().isEmpty()) {
        text.append(JSON.writeValueAsString(tree(plate))).append('\n');
      }
    }
    WholeFile.write(file, text.toString());
  }

  private static ObjectNode tree(PlateEntry plate) {
    ObjectNode tree = JSON.createObjectNode().put("name", plate.name());
    tree.put("stamp", plate.stamp()).put("at", plate.known().at().toString());
    tree.put("bench", plate.known().bench());
    tree.put(PLATE, PlateFile.text(plate.known().plate()));
    ArrayNode flows = tree.putArray("flows");
    for (PlateSummary.Flow flow : plate.known().flows()) {
      flows.add(flow.testPressurePa()).add(flow.m3PerS());
      flows.add(flow.u95M3PerS().orElse(Double.NaN)).add(flow.effectiveAreaM2());
    }
    return tree;
  }

  private static PlateEntry plate(String name, JsonNode tree) {
    JsonNode numbers = tree.get("flows");
    List<PlateSummary.Flow> flows = new ArrayList<>();
    for (int i = 0; i + 3 < numbers.size(); i += 4) {
      double u95 = numbers.get(i + 2).asDouble(Double.NaN);
      flows.add(
          new PlateSummary.Flow(
              numbers.get(i).asDouble(),
              numbers.get(i + 1).asDouble(),
              Double.isNaN(u95) ? OptionalDouble.empty() : OptionalDouble.of(u95),
              numbers.get(i + 3).asDouble()));
    }
    return new PlateEntry(
        name,
        tree.get("stamp").asText(),
        new PlateSummary(
            Instant.parse(tree.get("at").asText()),
            tree.get("bench").asText(),
            PlateFile.parse(name, tree.get(PLATE).asText()),
            flows));
  }

  private static ObjectNode tree(IndexEntry entry) {
    ObjectNode tree = JSON.createObjectNode();
    tree.put("name", entry.name()).put("stamp", entry.stamp());
    TestSummary known = entry.known().orElseThrow();
    tree.put("title", known.title()).put("at", known.at().toString());
    ArrayNode units = tree.putArray("units");
    units.add(known.units().lift().code());
    units.add(known.units().flow().code()).add(known.units().pressure().code());
    Plan.Part part = known.part();
    ArrayNode parts = tree.putArray("part").add(part.head()).add(part.chamber()).add(part.port());
    parts.add(part.valveJob()).add(part.customerReference());
    tree.put("port", known.port().name()).put("direction", known.direction().name());
    TestSummary.Rungs rungs = known.rungs();
    ArrayNode asked = tree.putArray("rungs").add(rungs.count()).add(rungs.testPressurePa());
    asked.add(rungs.aimBand()).add(rungs.toleranceM()).add(rungs.target());
    asked.add(rungs.longestSeconds());
    ArrayNode changes = tree.putArray("changes");
    known.changes().forEach(changes::add);
    known.follows().ifPresent(earlier -> tree.put("follows", earlier));
    ArrayNode spots = tree.putArray("spots");
    known.spots().forEach(spot -> spots.add(spot.liftM()).add(spot.flowM3PerS()));
    tree.put("points", known.points()).put("doubtful", known.doubtful());
    return tree;
  }

  private static IndexEntry entry(JsonNode tree) {
    return IndexEntry.finished(tree.get("name").asText(), tree.get("stamp").asText(), known(tree));
  }

  private static TestSummary known(JsonNode tree) {
    JsonNode units = tree.get("units");
    JsonNode part = tree.get("part");
    JsonNode rungs = tree.get("rungs");
    return new TestSummary(
        tree.get("title").asText(),
        Instant.parse(tree.get("at").asText()),
        new Plan.Units(
            Unit.named(units.get(0).asText(), Dimension.LENGTH),
            Unit.named(units.get(1).asText(), Dimension.VOLUME_FLOW),
            Unit.named(units.get(2).asText(), Dimension.PRESSURE)),
        new Plan.Part(
            part.get(0).asText(),
            part.get(1).asText(),
            part.get(2).asText(),
            part.get(3).asText(),
            part.get(4).asText()),
        PortKind.valueOf(tree.get("port").asText()),
        Direction.valueOf(tree.get("direction").asText()),
        new TestSummary.Rungs(
            rungs.get(0).asInt(),
            rungs.get(1).asDouble(),
            rungs.get(2).asDouble(),
            rungs.get(3).asDouble(),
            rungs.get(4).asDouble(),
            rungs.get(5).asDouble()),
        texts(tree.get("changes")),
        Optional.ofNullable(tree.get("follows")).map(JsonNode::asText),
        spots(tree.get("spots")),
        tree.get("points").asInt(),
        tree.get("doubtful").asInt());
  }

  private static List<String> texts(JsonNode array) {
    List<String> texts = new ArrayList<>();
    array.forEach(text -> texts.add(text.asText()));
    return texts;
  }

  /** Lift and flow by turns; an index without them is none, and is made anew. */
  private static List<TestSummary.Spot> spots(JsonNode array) {
    List<TestSummary.Spot> spots = new ArrayList<>();
    for (int i = 0; i + 1 < array.size(); i += 2) {
      spots.add(new TestSummary.Spot(array.get(i).asDouble(), array.get(i + 1).asDouble()));
    }
    return spots;
  }
}
