package meniscus.core.steadiness;

import java.util.function.Supplier;

/**
 * A look at the air that is taken when someone first asks for it, and once: to look for two levels
 * takes longer than all the rest, and of most averages only the end is asked for.
 */
final class AirLook {

  private final Supplier<AirBehaviour> look;
  private AirBehaviour seen;

  /**
   * @param look sees the same whenever it is taken
   */
  AirLook(Supplier<AirBehaviour> look) {
    this.look = look;
  }

  AirBehaviour seen() {
    if (seen == null) {
      seen = look.get();
    }
    return seen;
  }
}
