package meniscus.recorder.archive;

import java.util.HashMap;
import java.util.Map;

/**
 * What an archive holds, by name; filled while it is looked through.
 *
 * @param tests of ports, and what stands in the place of one
 * @param plates readings of plates
 */
record IndexContent(Map<String, IndexEntry> tests, Map<String, PlateEntry> plates) {

  static IndexContent empty() {
    return new IndexContent(new HashMap<>(), new HashMap<>());
  }

  void add(IndexEntry test) {
    tests.put(test.name(), test);
  }

  void add(PlateEntry plate) {
    plates.put(plate.name(), plate);
  }

  /** Takes over what is remembered of a folder, if that has not changed. */
  boolean takes(IndexContent before, String name, String stamp) {
    IndexEntry test = before.tests.get(name);
    if (test != null && test.stamp().equals(stamp)) {
      add(test);
      return true;
    }
    PlateEntry plate = before.plates.get(name);
    if (plate != null && plate.stamp().equals(stamp)) {
      add(plate);
      return true;
    }
    return false;
  }
}
