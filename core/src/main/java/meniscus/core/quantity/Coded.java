package meniscus.core.quantity;

import java.util.Locale;

/** An enum whose constants stand in files and answers for other programs. */
public interface Coded extends Worded {

  /** As files write it, such as {@code test_pressure}. */
  @Override
  default String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
