package meniscus.recorder.json;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Collection;
import java.util.OptionalDouble;
import java.util.function.BiConsumer;
import meniscus.core.quantity.Unit;

/** Members of an answer. Numbers in a unit are rounded for showing. */
public final class JsonOut {

  /** More digits than any gauge has. */
  private static final MathContext DIGITS = new MathContext(7);

  private static final ObjectMapper MAPPER = new ObjectMapper();

  private JsonOut() {}

  public static ObjectNode object() {
    return MAPPER.createObjectNode();
  }

  /** An array of texts, numbers or trees. */
  public static void array(ObjectNode json, String name, Collection<?> values) {
    json.set(name, MAPPER.valueToTree(values));
  }

  /**
   * An array of objects.
   *
   * @param members puts the members of one
   */
  public static <T> void list(
      ObjectNode json, String name, Iterable<T> items, BiConsumer<ObjectNode, T> members) {
    ArrayNode array = json.putArray(name);
    items.forEach(item -> members.accept(array.addObject(), item));
  }

  /** A number with all its digits; null when it is not known. */
  public static void exact(ObjectNode json, String name, OptionalDouble value) {
    json.put(name, Double.isFinite(value.orElse(Double.NaN)) ? (Double) value.getAsDouble() : null);
  }

  /** The same in a unit. */
  public static void exact(ObjectNode json, String name, OptionalDouble si, Unit unit) {
    exact(json, name, si.isPresent() ? OptionalDouble.of(unit.fromSi(si.getAsDouble())) : si);
  }

  public static void put(ObjectNode json, String name, OptionalDouble si, Unit unit) {
    put(json, name, si.orElse(Double.NaN), unit);
  }

  public static void put(ObjectNode json, String name, double si, Unit unit) {
    put(json, name, unit.fromSi(si), 1);
  }

  /** A number, rounded for showing; null when it is not known. */
  public static void put(ObjectNode json, String name, double value, double factor) {
    if (Double.isFinite(value)) {
      json.put(name, new BigDecimal(value * factor).round(DIGITS).doubleValue());
    } else {
      json.putNull(name);
    }
  }
}
