package meniscus.core.bench;

import java.util.Objects;
import meniscus.core.refusal.Refusal;

/**
 * One range of the bench: a flow element and the gauge that reads its drop. Two ranges may share a
 * gauge.
 *
 * @param name unique in the bench, as the operator knows it
 * @param element the flow element as its maker or its geometry tells; a calibration corrects it
 * @param drop the gauge across it
 */
public record Range(String name, FlowElement element, Source.Measured drop) {
  public Range {
    Objects.requireNonNull(element);
    Objects.requireNonNull(drop);
    if (name.isBlank() || name.length() > 60) {
      throw new Refusal("a range needs a name of 1 to 60 characters");
    }
  }
}
