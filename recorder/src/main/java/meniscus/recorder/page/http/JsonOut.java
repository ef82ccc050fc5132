package meniscus.recorder.page.http;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.quantity.Unit;

/** Members of an answer, as the page gets them: numbers rounded for showing. */
public final class JsonOut {

  /** More digits than any gauge has. */
  private static final MathContext DIGITS = new MathContext(7);

  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

  private JsonOut() {}

  public static ObjectNode object() {
    return JSON.objectNode();
  }

  public static void texts(ObjectNode json, String name, List<String> texts) {
    ArrayNode array = json.putArray(name);
    texts.forEach(array::add);
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
