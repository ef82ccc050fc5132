package meniscus.core.steadiness;

import java.util.Optional;
import java.util.function.Supplier;

/**
 * A look at the air that is taken when someone first asks for it, and once: to look for two levels
 * takes longer than all the rest, and of most averages only the end is asked for.
 */
final class AirLook {

  private final Optional<MainsRipple> mains;
  private final Supplier<AirBehaviour> look;
  private AirBehaviour seen;

  /**
   * @param mains ripple, seen already
   * @param look sees the same whenever it is taken
   */
  AirLook(Optional<MainsRipple> mains, Supplier<AirBehaviour> look) {
    this.mains = mains;
    this.look = look;
  }

  Optional<MainsRipple> mains() {
    return mains;
  }

  AirBehaviour seen() {
    if (seen == null) {
      seen = look.get();
    }
    return seen;
  }
}
