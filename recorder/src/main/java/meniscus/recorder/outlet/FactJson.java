package meniscus.recorder.outlet;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import meniscus.core.outlet.Fact;
import meniscus.core.outlet.LiveValues;
import meniscus.core.quantity.Worded;
import meniscus.recorder.file.StrictJson;

/**
 * Facts, live values and answers as they travel: docs/schemas/fact-1.schema.json, now-1.schema.json
 * and stored-1.schema.json.
 */
final class FactJson {

  private static final String FACT = "fact/1";
  private static final String NOW = "now/1";
  private static final String POINTS = "points";
  private static final Set<String> HEAD =
      Set.of("meniscus", "key", "place", "kind", "at", "bench_id", "test_id", POINTS);

  /** An answer is short; a longer one is not looked into. */
  private static final int LONGEST_ANSWER = 1000;

  private FactJson() {}

  /** On one line. */
  static String write(Fact fact) {
    ObjectNode json = object(FACT);
    json.put("key", fact.key()).put("place", fact.place()).put("kind", fact.kind().word());
    json.put("at", fact.at().toString());
    ids(json, fact.of().benchId(), fact.of().testId());
    fact.values().words().forEach(json::put);
    put(json, fact.numbers());
    if (!fact.points().isEmpty()) {
      fact.points().forEach(point -> put(json.withArray(POINTS).addObject(), point));
    }
    return json.toString();
  }

  /** On one line. */
  static String write(LiveValues now) {
    ObjectNode json = object(NOW).put("at", now.at().toString());
    ids(json, now.benchId(), now.testId());
    put(json, now.numbers());
    return json.toString();
  }

  private static ObjectNode object(String format) {
    return StrictJson.MAPPER.createObjectNode().put("meniscus", format);
  }

  private static void ids(ObjectNode json, Optional<UUID> bench, Optional<UUID> test) {
    json.put("bench_id", bench.map(UUID::toString).orElse(null));
    json.put("test_id", test.map(UUID::toString).orElse(null));
  }

  private static void put(ObjectNode json, SortedMap<String, Double> numbers) {
    numbers.forEach(
        (name, number) -> {
          if (number == Math.rint(number) && Math.abs(number) < 1L << 53) {
            json.put(name, number.longValue());
          } else {
            json.put(name, number);
          }
        });
  }

  /**
   * @throws IOException when it is no fact that {@link #write} has written
   */
  static Fact read(String line) throws IOException {
    JsonNode json = StrictJson.MAPPER.readTree(line);
    Fact.Kind kind =
        Worded.named(Fact.Kind.values(), json.path("kind").asText())
            .orElseThrow(() -> new IOException("no fact that this program knows"));
    SortedMap<String, Double> numbers = new TreeMap<>();
    SortedMap<String, String> words = new TreeMap<>();
    for (Map.Entry<String, JsonNode> member : json.properties()) {
      if (!HEAD.contains(member.getKey()) && member.getValue().isNumber()) {
        numbers.put(member.getKey(), member.getValue().asDouble());
      } else if (!HEAD.contains(member.getKey())) {
        words.put(member.getKey(), member.getValue().asText());
      }
    }
    List<SortedMap<String, Double>> points = new ArrayList<>();
    for (JsonNode point : json.path(POINTS)) {
      SortedMap<String, Double> row = new TreeMap<>();
      point.properties().forEach(each -> row.put(each.getKey(), each.getValue().asDouble()));
      points.add(row);
    }
    try {
      return new Fact(
          json.path("key").asText(),
          json.path("place").asLong(),
          kind,
          Instant.parse(json.path("at").asText()),
          new Fact.Of(id(json, "bench_id"), id(json, "test_id")),
          new Fact.Values(numbers, words, points));
    } catch (RuntimeException e) {
      throw new IOException("no fact: " + e.getMessage(), e);
    }
  }

  private static Optional<UUID> id(JsonNode json, String name) {
    return json.path(name).isTextual()
        ? Optional.of(UUID.fromString(json.path(name).asText()))
        : Optional.empty();
  }

  /** The place that a receiver says it has stored up to; empty when it says no such thing. */
  static OptionalLong storedUpTo(String answer) {
    try {
      JsonNode place =
          answer.length() > LONGEST_ANSWER
              ? StrictJson.MAPPER.missingNode()
              : StrictJson.MAPPER.readTree(answer).path("stored_up_to");
      return place.isIntegralNumber() && place.canConvertToLong() && place.asLong() >= 0
          ? OptionalLong.of(place.asLong())
          : OptionalLong.empty();
    } catch (IOException noJson) {
      return OptionalLong.empty();
    }
  }
}
