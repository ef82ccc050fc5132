package meniscus.core.budget;

import java.util.Optional;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Plenum;

/**
 * A value that is worked out from what the gauges show: the whole way as one function, so that an
 * input that enters at several places is counted once, with its sign.
 */
@FunctionalInterface
public interface Measurand {

  /**
   * @param in what the gauges show
   * @param leakage that is reckoned with
   * @param plenum that is reckoned with
   */
  double value(Inputs in, Optional<Leakage> leakage, Optional<Plenum> plenum);
}
