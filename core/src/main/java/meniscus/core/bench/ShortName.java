package meniscus.core.bench;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import meniscus.core.refusal.Refusal;

/** By what parts of a bench are told apart in its file. */
final class ShortName {

  private ShortName() {}

  /**
   * @param what it is the name of, for a message
   * @throws Refusal when it is none
   */
  static void check(String what, String name) {
    if (!name.matches("[a-z][a-z0-9-]{0,39}")) {
      throw new Refusal(
          what + " \"" + name + "\": use lower-case letters, digits and hyphens, a letter first");
    }
  }

  /**
   * @param what all of them are, and what each needs of its own, for a message
   * @throws Refusal when two are the same
   */
  static void differ(String what, String own, List<String> names) {
    Set<String> seen = new HashSet<>();
    for (String name : names) {
      if (!seen.add(name)) {
        throw new Refusal("two " + what + " are called \"" + name + "\": give each its own " + own);
      }
    }
  }
}
