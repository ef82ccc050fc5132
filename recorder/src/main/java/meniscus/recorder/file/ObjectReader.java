package meniscus.recorder.file;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.function.Supplier;
import meniscus.core.instrument.Settings;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.quantity.Value;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;

/**
 * The members of one object in a file, read as quantities, words and times. What {@link Settings}
 * does for plain values, with the same strictness and the same form of message.
 */
final class ObjectReader {

  private final Settings settings;
  private final Map<String, Object> raw;
  private final String path;
  private final Consumer<String> asked;

  /**
   * @param where for messages: the file
   * @param raw as read by {@link StrictJson}
   * @param asked told the path of every member asked for, such as {@code channels.*.low}
   */
  ObjectReader(String where, Map<String, Object> raw, Consumer<String> asked) {
    this(where, raw, "", asked);
  }

  private ObjectReader(String where, Map<String, Object> raw, String path, Consumer<String> asked) {
    this.settings = new Settings(where, raw);
    this.raw = raw;
    this.path = path;
    this.asked = asked;
  }

  String where() {
    return settings.where();
  }

  Set<String> names() {
    return raw.keySet();
  }

  boolean has(String name) {
    return ask(name).settings.has(name);
  }

  String text(String name) {
    return ask(name).settings.text(name);
  }

  String text(String name, String otherwise) {
    return ask(name).settings.text(name, otherwise);
  }

  Optional<String> optionalText(String name) {
    return ask(name).settings.optionalText(name);
  }

  boolean yes(String name, boolean otherwise) {
    return ask(name).settings.yes(name, otherwise);
  }

  int whole(String name, int otherwise, int least, int most) {
    return ask(name).settings.whole(name, otherwise, least, most);
  }

  double number(String name) {
    return finite(name, ask(name).settings.number(name));
  }

  double number(String name, double otherwise) {
    return has(name) ? number(name) : otherwise;
  }

  OptionalDouble optionalNumber(String name) {
    return has(name) ? OptionalDouble.of(number(name)) : OptionalDouble.empty();
  }

  List<Double> numbers(String name) {
    return numbers(name, items(name));
  }

  List<List<Double>> rowsOfNumbers(String name) {
    return items(name).stream()
        .map(row -> numbers(name, row instanceof List<?> list ? list : List.of(row)))
        .toList();
  }

  /** SI number of a text such as {@code "28 inH2O"}. */
  double si(String name, Dimension dimension) {
    if (has(name) && raw.get(name) instanceof Number) {
      throw wrong(name, new Refusal(noUnit(name, dimension)));
    }
    String text = text(name);
    return inside(name, () -> Value.si(text, dimension));
  }

  double si(String name, Dimension dimension, double otherwise) {
    return has(name) ? si(name, dimension) : otherwise;
  }

  OptionalDouble optionalSi(String name, Dimension dimension) {
    return has(name) ? OptionalDouble.of(si(name, dimension)) : OptionalDouble.empty();
  }

  /** SI size of a step or a limit: 1 degC is 1 K here. */
  double stepSi(String name, Dimension dimension, double otherwise) {
    if (!has(name)) {
      return otherwise;
    }
    String text = text(name);
    return inside(
        name,
        () -> {
          Value value = Value.parse(text, dimension);
          return value.number() * value.unit().factor();
        });
  }

  List<String> texts(String name) {
    return ask(name).settings.texts(name);
  }

  List<Double> listOfSi(String name, Dimension dimension) {
    return ask(name).settings.texts(name).stream()
        .map(text -> inside(name, () -> Value.si(text, dimension)))
        .toList();
  }

  /** What stands in a list, of any kind; empty when absent. */
  List<?> items(String name) {
    if (!has(name)) {
      return List.of();
    }
    if (raw.get(name) instanceof List<?> list) {
      return list;
    }
    throw wrong(name, new Refusal("must be a list [ … ]"));
  }

  Object any(String name) {
    return has(name) ? raw.get(name) : text(name);
  }

  /** The constant that has the word. */
  <E extends Worded> E choice(String name, Class<E> kind) {
    E[] constants = kind.getEnumConstants();
    return Worded.named(constants, word(name, Worded.words(constants))).orElseThrow();
  }

  <E extends Worded> E choice(String name, Class<E> kind, E otherwise) {
    return has(name) ? choice(name, kind) : otherwise;
  }

  /** One of some words. */
  String word(String name, List<String> known) {
    String text = text(name);
    if (!known.contains(text)) {
      throw wrong(
          name,
          new Refusal(
              "\"" + text + "\" is not known here; use one of: " + String.join(", ", known)));
    }
    return text;
  }

  String word(String name, List<String> known, String otherwise) {
    return has(name) ? word(name, known) : otherwise;
  }

  Instant instant(String name) {
    return time(name, Instant::parse, "an instant such as 2026-03-14T09:30:00Z");
  }

  LocalDate date(String name) {
    return time(name, LocalDate::parse, "a date such as 2026-03-14");
  }

  /** The object of that name; empty when absent. */
  ObjectReader within(String name) {
    ask(name).settings.within(name);
    return new ObjectReader(
        settings.where() + ", \"" + name + "\"", members(raw.get(name)), path + name + ".", asked);
  }

  /** An object whose name is not fixed, such as a channel's use. */
  ObjectReader entry(String name) {
    settings.within(name);
    return new ObjectReader(
        settings.where() + ", \"" + name + "\"", members(raw.get(name)), path + "*.", asked);
  }

  Optional<ObjectReader> optional(String name) {
    return has(name) ? Optional.of(within(name)) : Optional.empty();
  }

  ObjectReader required(String name) {
    return optional(name).orElseThrow(() -> settings.missing(name, "an object { … }"));
  }

  /** The objects of a list; empty when absent. */
  List<ObjectReader> list(String name) {
    List<ObjectReader> found = new ArrayList<>();
    for (Settings item : ask(name).settings.list(name)) {
      found.add(
          new ObjectReader(
              item.where(), members(items(name).get(found.size())), path + name + ".", asked));
    }
    return found;
  }

  /** What is made of each object of a list. */
  <T> List<T> list(String name, Function<ObjectReader, T> make) {
    return list(name).stream().map(make).toList();
  }

  /** All members as they are, for a reader further on. */
  Map<String, Object> untouched(String name) {
    ask(name).settings.within(name);
    return members(raw.get(name));
  }

  /** All members but some as they are, for a reader further on. */
  Map<String, Object> others(Set<String> but) {
    return settings.without(but).members();
  }

  /** What a record says of its own values, with the place put before it. */
  <T> T made(Supplier<T> make) {
    try {
      return make.get();
    } catch (IllegalArgumentException e) {
      throw new Refusal(where() + ": " + e.getMessage(), e);
    }
  }

  /** The same for one member. */
  <T> T inside(String name, Supplier<T> make) {
    try {
      return make.get();
    } catch (IllegalArgumentException e) {
      throw wrong(name, e);
    }
  }

  Refusal wrong(String name, IllegalArgumentException why) {
    return new Refusal(where() + ", \"" + name + "\": " + why.getMessage(), why);
  }

  /** Refuses members that nothing asked for. */
  void done() {
    settings.done();
  }

  /** The same, and hands over what was made of the others. */
  <T> T done(T made) {
    done();
    return made;
  }

  private ObjectReader ask(String name) {
    asked.accept(path + name);
    return this;
  }

  private double finite(String name, double number) {
    if (!Double.isFinite(number)) {
      throw wrong(name, new Refusal("is too large a number"));
    }
    return number;
  }

  private List<Double> numbers(String name, List<?> items) {
    List<Double> found = new ArrayList<>();
    for (Object item : items) {
      if (!(item instanceof Number number)) {
        throw wrong(name, new Refusal("must hold numbers only, found " + item));
      }
      found.add(finite(name, number.doubleValue()));
    }
    return found;
  }

  private String noUnit(String name, Dimension dimension) {
    return "write the "
        + dimension.word()
        + " as text with its unit, such as \""
        + raw.get(name)
        + " "
        + UnitSystem.METRIC.unit(dimension).symbol()
        + "\"";
  }

  private <T> T time(String name, Function<String, T> parse, String form) {
    String text = text(name);
    try {
      return parse.apply(text);
    } catch (DateTimeException notATime) {
      throw wrong(name, new Refusal("\"" + text + "\" is not " + form));
    }
  }

  @SuppressWarnings("unchecked") // keys of a JSON object are text
  private static Map<String, Object> members(Object value) {
    return value instanceof Map<?, ?> map ? (Map<String, Object>) map : Map.of();
  }
}
