package meniscus.recorder.hostile;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.ConcurrentHashMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Valid text with something done to it: a slip, a damaged disk, or malice. */
public final class Spoilt {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;

  /** Of the few texts that are spoilt again and again. */
  private static final Map<String, JsonNode> TREES = new ConcurrentHashMap<>();

  private static final int MOST_COPIES = 300;
  private static final int MOST_COPIED = 100_000;
  private static final String ALPHABET =
      ",\"\n\t;'-+=Ee.09xNaINF{}[]:\\/%<\u0000\u001b\u007f\u00fc\u202e\ufeff\ud83d";

  private static final double[] FACTORS = {-1, 0, 1e-9, 0.1, 0.5, 0.99, 1.01, 2, 10, 1e9};
  private static final Pattern QUANTITY = Pattern.compile("(-?\\d+(?:\\.\\d+)?)( [^ ]+)");

  private static final List<String> TEXTS =
      List.of(
          "",
          " ",
          "x",
          "0",
          "-1",
          "NaN",
          "28",
          "28 inH2O",
          "-28 inH2O",
          "1e308 Pa",
          "1e999 Pa",
          "NaN Pa",
          "Infinity K",
          "-400 degC",
          "0 m",
          "-1 mm",
          "1e-320 mm",
          "100 %",
          "1 kg",
          "../../../etc/passwd",
          "/dev/zero",
          "C:\\con",
          "=1+1",
          "<script>alert(1)</script>",
          "\u001b[2J\u001b]0;owned\u0007",
          "\u202etxt.exe",
          "a\u0000b",
          "2026-02-30",
          "-999999999-01-01T00:00:00Z",
          "+1000000000-12-31T23:59:59Z",
          "(a+)+$",
          "x".repeat(9_999),
          "y".repeat(10_001));

  private Spoilt() {}

  /** One to four places changed, put in, or taken out; a few cases cut off or doubled. */
  public static String text(String valid, Random random) {
    StringBuilder spoilt = new StringBuilder(valid);
    for (int changes = 1 + random.nextInt(4); changes > 0 && spoilt.length() > 0; changes--) {
      int at = random.nextInt(spoilt.length());
      char c = ALPHABET.charAt(random.nextInt(ALPHABET.length()));
      switch (random.nextInt(8)) {
        case 0, 1, 2 -> spoilt.setCharAt(at, c);
        case 3, 4 -> spoilt.insert(at, String.valueOf(c).repeat(1 + random.nextInt(30)));
        case 5, 6 -> spoilt.delete(at, Math.min(spoilt.length(), at + random.nextInt(20)));
        default -> {
          int to = Math.min(spoilt.length(), at + random.nextInt(60));
          spoilt.insert(random.nextInt(spoilt.length()), spoilt.substring(at, to));
        }
      }
    }
    if (random.nextInt(20) == 0) {
      spoilt.setLength(random.nextInt(spoilt.length() + 1));
    }
    return spoilt.toString();
  }

  /** One to three members or items replaced, taken out, renamed, moved or multiplied. */
  public static String json(String valid, Random random) {
    if (random.nextInt(4) == 0) {
      return text(valid, random);
    }
    JsonNode root = tree(valid);
    List<JsonNode> places = containers(root);
    for (int changes = random.nextBoolean() ? 1 : 1 + random.nextInt(3); changes > 0; changes--) {
      JsonNode at = places.get(random.nextInt(places.size()));
      if (at instanceof ObjectNode object) {
        spoil(object, places, random);
      } else {
        spoil((ArrayNode) at, places, random);
      }
    }
    String spoilt = written(root);
    return random.nextInt(8) == 0 ? text(spoilt, random) : spoilt;
  }

  /** Any bytes of a valid file changed. */
  public static byte[] bytes(byte[] valid, Random random) {
    byte[] spoilt = valid.clone();
    for (int changes = 1 + random.nextInt(4); changes > 0 && spoilt.length > 0; changes--) {
      spoilt[random.nextInt(spoilt.length)] = (byte) random.nextInt(256);
    }
    return spoilt;
  }

  private static void spoil(ObjectNode object, List<JsonNode> places, Random random) {
    if (object.isEmpty()) {
      object.set("x", value(places, random));
      return;
    }
    List<String> names = new ArrayList<>();
    object.fieldNames().forEachRemaining(names::add);
    String name = names.get(random.nextInt(names.size()));
    switch (random.nextInt(9)) {
      case 0 -> object.remove(name);
      case 1 -> object.set(text(name, random), object.remove(name));
      case 2 -> object.set(names.get(random.nextInt(names.size())), object.get(name).deepCopy());
      case 3, 4, 5 -> object.set(name, near(object.get(name), random));
      default -> object.set(name, value(places, random));
    }
  }

  private static void spoil(ArrayNode array, List<JsonNode> places, Random random) {
    if (array.isEmpty()) {
      array.add(value(places, random));
      return;
    }
    int at = random.nextInt(array.size());
    switch (random.nextInt(9)) {
      case 0 -> array.remove(at);
      case 3, 4, 5 -> array.set(at, near(array.get(at), random));
      case 1 -> {
        JsonNode again = array.get(at);
        int most = Math.min(MOST_COPIES, 1 + MOST_COPIED / again.toString().length());
        for (int i = size(most - 1, random); i >= 0; i--) {
          array.add(again);
        }
      }
      case 2 -> array.insert(random.nextInt(array.size()), array.get(at).deepCopy());
      default -> array.set(at, value(places, random));
    }
  }

  /** From 0 to the most, small sizes as often as large ones. */
  public static int size(int most, Random random) {
    return random.nextInt(1 + (most >> random.nextInt(12)));
  }

  /** A number or a quantity of the same kind, which may well be accepted. */
  private static JsonNode near(JsonNode node, Random random) {
    double factor = FACTORS[random.nextInt(FACTORS.length)];
    if (node.isNumber()) {
      return NODES.numberNode(node.doubleValue() * factor);
    }
    Matcher quantity = QUANTITY.matcher(node.asText(""));
    return quantity.matches()
        ? NODES.textNode(Double.parseDouble(quantity.group(1)) * factor + quantity.group(2))
        : node;
  }

  private static JsonNode value(List<JsonNode> places, Random random) {
    return switch (random.nextInt(16)) {
      case 0 -> NODES.nullNode();
      case 1 -> NODES.booleanNode(random.nextBoolean());
      case 2 -> NODES.numberNode(random.nextInt(7) - 3);
      case 3 -> NODES.numberNode(1e308 * (random.nextBoolean() ? 1 : -1));
      case 4 -> NODES.numberNode(random.nextBoolean() ? Long.MAX_VALUE : 1L + Integer.MAX_VALUE);
      case 5 -> NODES.numberNode(random.nextBoolean() ? 4.9e-324 : random.nextGaussian());
      case 6 -> random.nextBoolean() ? NODES.objectNode() : NODES.arrayNode();
      case 7 -> deep(random.nextInt(40));
      case 8 -> many(size(2_000, random), random);
      case 9, 10 -> places.get(random.nextInt(places.size())).deepCopy();
      default -> NODES.textNode(TEXTS.get(random.nextInt(TEXTS.size())));
    };
  }

  private static JsonNode deep(int depth) {
    JsonNode node = NODES.arrayNode();
    for (int i = 0; i < depth; i++) {
      node = NODES.arrayNode().add(node);
    }
    return node;
  }

  private static JsonNode many(int count, Random random) {
    ArrayNode node = NODES.arrayNode();
    boolean numbers = random.nextBoolean();
    for (int i = 0; i < count; i++) {
      if (numbers) {
        node.add(random.nextDouble());
      } else {
        node.add(i + " mm");
      }
    }
    return node;
  }

  /** All objects and lists of a tree, itself included. */
  private static List<JsonNode> containers(JsonNode root) {
    List<JsonNode> found = new ArrayList<>();
    found.add(root);
    for (int i = 0; i < found.size(); i++) {
      found.get(i).forEach(child -> addContainer(found, child));
    }
    return found;
  }

  private static void addContainer(List<JsonNode> found, JsonNode node) {
    if (node.isContainerNode()) {
      found.add(node);
    }
  }

  private static JsonNode tree(String valid) {
    return TREES.computeIfAbsent(valid, Spoilt::read).deepCopy();
  }

  private static JsonNode read(String valid) {
    try {
      return JSON.readTree(valid);
    } catch (IOException e) {
      throw new UncheckedIOException("the valid text is no JSON", e);
    }
  }

  private static String written(JsonNode root) {
    try {
      return JSON.writeValueAsString(root);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** The same as bytes of UTF-8. */
  public static byte[] utf8(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
