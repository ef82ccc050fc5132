package meniscus.core.lift;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;

/**
 * How something was before a change, or is after it: a length, an angle, an area, a volume, or
 * plain words such as a surface finish.
 *
 * @param text as it was written
 * @param value of the text, where it is one of a unit; empty for words
 */
public record Amount(String text, Optional<Value> value) {

  private static final List<Dimension> DIMENSIONS =
      List.of(Dimension.LENGTH, Dimension.ANGLE, Dimension.AREA, Dimension.VOLUME);

  private static final Pattern NUMBER_AND_WORD =
      Pattern.compile("[-+]?[\\d.,]+(?:[eE][-+]?\\d+)?\\s*(\\S+)");

  public Amount {
    Objects.requireNonNull(text);
    Objects.requireNonNull(value);
  }

  /**
   * @param text {@code 24.5 mm}, {@code 45 deg}, {@code 820 mm2}, {@code 61.5 cm3}, {@code 120
   *     grit}
   * @throws Refusal when it is a number of one of those units, but badly written
   */
  public static Amount of(String text) {
    for (Dimension dimension : DIMENSIONS) {
      if (unitOf(text, dimension)) {
        return new Amount(text, Optional.of(Value.parse(text, dimension)));
      }
    }
    return new Amount(text, Optional.empty());
  }

  public static Amount ofMetres(double metres) {
    Value value = new Value(metres, Unit.si(Dimension.LENGTH));
    return new Amount(value.toString(), Optional.of(value));
  }

  private static boolean unitOf(String text, Dimension dimension) {
    Matcher matcher = NUMBER_AND_WORD.matcher(text.strip());
    if (!matcher.matches()) {
      return false;
    }
    try {
      Unit.named(matcher.group(1), dimension);
      return true;
    } catch (Refusal another) {
      return false;
    }
  }

  /** In metres; empty unless it is a length. */
  public OptionalDouble metres() {
    return si(Dimension.LENGTH);
  }

  private OptionalDouble si(Dimension dimension) {
    return value.filter(v -> v.unit().dimension() == dimension).isPresent()
        ? OptionalDouble.of(value.get().si())
        : OptionalDouble.empty();
  }

  /** The dimension; empty for words. */
  public Optional<Dimension> dimension() {
    return value.map(v -> v.unit().dimension());
  }
}
