package meniscus.recorder.archive;

import java.util.HashMap;
import java.util.Map;

/** Keeps one of what is alike: the tests of an archive have their units and parts in common. */
final class Alike {

  private final Map<Object, Object> kept = new HashMap<>();

  /** The first that was equal to this. */
  @SuppressWarnings("unchecked") // what is equal to it is of its kind
  <T> T one(T value) {
    Object before = kept.putIfAbsent(value, value);
    return before == null ? value : (T) before;
  }
}
