package meniscus.core.instrument;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import meniscus.core.refusal.Refusal;

/**
 * Named plain values out of a file: text, numbers, yes/no, lists, and settings within settings.
 * Every getter says where it looked when a value does not fit; {@link #done()} refuses members that
 * nothing asked for, with the nearest known name.
 *
 * <p>Not for use by several threads.
 */
public final class Settings {

  /** Letters by which a misspelt name differs at most from the name that is meant. */
  private static final int MISSPELT = 2;

  private final String where;
  private final Map<String, Object> members;
  private final Set<String> asked = new HashSet<>();

  /**
   * @param where for messages: the file and the place in it
   * @param members values are String, Number, Boolean, List of these, or Map of these
   */
  public Settings(String where, Map<String, Object> members) {
    this.where = Objects.requireNonNull(where);
    this.members = new LinkedHashMap<>(members);
  }

  public String where() {
    return where;
  }

  public Set<String> names() {
    return Set.copyOf(members.keySet());
  }

  /** All of them, as plain values. */
  public Map<String, Object> members() {
    return Collections.unmodifiableMap(members);
  }

  public boolean has(String name) {
    asked.add(name);
    return members.containsKey(name);
  }

  public String text(String name) {
    return optionalText(name).orElseThrow(() -> missing(name, "text"));
  }

  public String text(String name, String otherwise) {
    return optionalText(name).orElse(otherwise);
  }

  public Optional<String> optionalText(String name) {
    return get(name, String.class, "text in quotes");
  }

  public double number(String name) {
    return optionalNumber(name).orElseThrow(() -> missing(name, "a number"));
  }

  public double number(String name, double otherwise) {
    return optionalNumber(name).orElse(otherwise);
  }

  public Optional<Double> optionalNumber(String name) {
    return get(name, Number.class, "a number").map(Number::doubleValue);
  }

  /**
   * A whole number within limits.
   *
   * @throws Refusal naming the limits
   */
  public int whole(String name, int otherwise, int least, int most) {
    double number = number(name, otherwise);
    if (number != Math.rint(number) || number < least || number > most) {
      throw new Refusal(
          at(name) + " must be a whole number from " + least + " to " + most + ", was " + number);
    }
    return (int) number;
  }

  public boolean yes(String name, boolean otherwise) {
    return get(name, Boolean.class, "true or false").orElse(otherwise);
  }

  /** The same settings but for some members. */
  public Settings without(Set<String> names) {
    Map<String, Object> rest = new LinkedHashMap<>(members);
    rest.keySet().removeAll(names);
    return new Settings(where, rest);
  }

  /** These settings, and those of {@code others} that are not set here. */
  public Settings orElse(Settings others) {
    Map<String, Object> all = new LinkedHashMap<>(others.members);
    all.putAll(members);
    return new Settings(where, all);
  }

  /** Settings within; empty settings when absent. */
  public Settings within(String name) {
    return new Settings(
        at(name), members(get(name, Map.class, "an object { … }").orElse(Map.of())));
  }

  /** A list of settings; empty when absent. */
  public List<Settings> list(String name) {
    List<Settings> found = new ArrayList<>();
    for (Object item : get(name, List.class, "a list [ … ]").orElse(List.of())) {
      String place = item(name, found.size());
      if (!(item instanceof Map<?, ?>)) {
        throw new Refusal(place + " must be an object { … }, was " + item);
      }
      found.add(new Settings(place, members((Map<?, ?>) item)));
    }
    return found;
  }

  /** A list of text; empty when absent. */
  public List<String> texts(String name) {
    List<String> found = new ArrayList<>();
    for (Object item : get(name, List.class, "a list [ … ]").orElse(List.of())) {
      if (!(item instanceof String text)) {
        throw new Refusal(item(name, found.size()) + " must be text in quotes, was " + item);
      }
      found.add(text);
    }
    return found;
  }

  /** A list of numbers; empty when absent. */
  public List<Double> numbers(String name) {
    List<Double> found = new ArrayList<>();
    for (Object item : get(name, List.class, "a list [ … ]").orElse(List.of())) {
      if (!(item instanceof Number number)) {
        throw new Refusal(item(name, found.size()) + " must be a number, was " + item);
      }
      found.add(number.doubleValue());
    }
    return found;
  }

  /**
   * Call when all has been asked for.
   *
   * @throws Refusal when a member is left that nothing asked for
   */
  public void done() {
    for (String name : members.keySet()) {
      if (!asked.contains(name)) {
        String nearest =
            nearest(name, asked.stream())
                .map(known -> "; did you mean \"" + known + "\"?")
                .orElse("");
        throw new Refusal(where + ": no member \"" + name + "\" is known here" + nearest);
      }
    }
  }

  /** Counted from 1, as people do. */
  private String item(String name, int before) {
    return at(name) + " no. " + (before + 1);
  }

  private String at(String name) {
    return where + ", \"" + name + "\"";
  }

  /**
   * What to throw where a member has to be and is not; names a misspelt one.
   *
   * @param kind what it must be, in words
   */
  public IllegalArgumentException missing(String name, String kind) {
    String written =
        nearest(name, members.keySet().stream().filter(other -> !asked.contains(other)))
            .filter(other -> distance(name, other) <= MISSPELT)
            .map(other -> "; you wrote \"" + other + "\"")
            .orElse("");
    return new Refusal(where + ": \"" + name + "\" is missing; it must be " + kind + written);
  }

  private static Optional<String> nearest(String name, Stream<String> others) {
    return others.min(Comparator.comparingInt(other -> distance(other, name)));
  }

  private <T> Optional<T> get(String name, Class<T> type, String kind) {
    asked.add(name);
    Object value = members.get(name);
    if (value == null) {
      return Optional.empty();
    }
    if (!type.isInstance(value)) {
      throw new Refusal(at(name) + " must be " + kind + ", was " + value);
    }
    return Optional.of(type.cast(value));
  }

  private static Map<String, Object> members(Map<?, ?> raw) {
    Map<String, Object> members = new LinkedHashMap<>();
    raw.forEach((key, value) -> members.put(String.valueOf(key), value));
    return members;
  }

  /** Levenshtein distance: insertions, deletions and replacements between two words. */
  static int distance(String a, String b) {
    int[] row = new int[b.length() + 1];
    for (int j = 0; j <= b.length(); j++) {
      row[j] = j;
    }
    for (int i = 1; i <= a.length(); i++) {
      int diagonal = row[0];
      row[0] = i;
      for (int j = 1; j <= b.length(); j++) {
        int replaced = diagonal + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
        diagonal = row[j];
        row[j] = Math.min(replaced, 1 + Math.min(row[j], row[j - 1]));
      }
    }
    return row[b.length()];
  }
}
