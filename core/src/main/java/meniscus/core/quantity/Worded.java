package meniscus.core.quantity;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;

/** An enum whose constants have a word each. */
public interface Worded {

  String name();

  /** As people read it, such as {@code volume flow}. */
  default String word() {
    return name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }

  /** The constant that has this word. */
  static <E extends Worded> Optional<E> named(E[] constants, String word) {
    return Stream.of(constants).filter(each -> each.word().equals(word)).findFirst();
  }

  static List<String> words(Worded... constants) {
    return Stream.of(constants).map(Worded::word).toList();
  }
}
