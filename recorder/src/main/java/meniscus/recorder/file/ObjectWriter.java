package meniscus.recorder.file;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.function.Function;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.UnitSystem;

/** The members of one object to be written, in the order they are put. */
final class ObjectWriter {

  private final UnitSystem units;
  private final Map<String, Object> members = new LinkedHashMap<>();

  /**
   * @param units in which the file's owner writes
   */
  ObjectWriter(UnitSystem units) {
    this.units = units;
  }

  Map<String, Object> members() {
    return members;
  }

  /** An object of its own, in the same units. */
  ObjectWriter another() {
    return new ObjectWriter(units);
  }

  /** Text, a number, yes or no, a list or members. */
  ObjectWriter put(String name, Object value) {
    members.put(name, value instanceof Double number ? number(number) : value);
    return this;
  }

  /** Nothing when there is nothing within. */
  ObjectWriter put(String name, ObjectWriter inner) {
    return inner.members.isEmpty() ? this : put(name, inner.members);
  }

  /** A whole number without a point, as people write it. */
  static Number number(double number) {
    boolean whole =
        number == (long) number && Math.abs(number) < 1e15 && Double.compare(number, -0.0) != 0;
    return whole ? (Number) (long) number : (Number) number;
  }

  /** Nothing when the text is empty. */
  ObjectWriter text(String name, String text) {
    return text.isEmpty() ? this : put(name, text);
  }

  /** Nothing when it is the default. */
  <T> ObjectWriter unless(T usual, String name, T value) {
    return value.equals(usual) ? this : put(name, value);
  }

  ObjectWriter si(String name, double si, Dimension dimension) {
    return put(name, siText(si, dimension));
  }

  ObjectWriter si(String name, OptionalDouble si, Dimension dimension) {
    return si.isPresent() ? si(name, si.getAsDouble(), dimension) : this;
  }

  /** A step or a limit; nothing when it is 0. */
  ObjectWriter step(String name, double si, Dimension dimension) {
    return si == 0 ? this : put(name, stepText(si, dimension));
  }

  String siText(double si, Dimension dimension) {
    return QuantityText.of(si, dimension, units);
  }

  String stepText(double si, Dimension dimension) {
    return QuantityText.ofStep(si, dimension, units);
  }

  <T> ObjectWriter list(String name, List<T> items, Function<T, ObjectWriter> form) {
    return items.isEmpty()
        ? this
        : put(name, items.stream().map(item -> form.apply(item).members).toList());
  }
}
