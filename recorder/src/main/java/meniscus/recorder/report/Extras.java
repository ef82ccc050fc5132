package meniscus.recorder.report;

import java.util.List;
import java.util.Optional;
import meniscus.core.compare.Aims;
import meniscus.core.compare.CamFlow;
import meniscus.core.compare.ExternalCurve;

/**
 * What a report shows only when asked.
 *
 * @param cam that the curves are seen through
 * @param elsewhere curves that were typed in
 * @param rulesOfThumb common practice beside the numbers
 * @param aims flows to reach, held against the newest test
 */
public record Extras(
    Optional<CamFlow.Cam> cam,
    List<ExternalCurve> elsewhere,
    boolean rulesOfThumb,
    Optional<Aims> aims) {

  public static final Extras NONE =
      new Extras(Optional.empty(), List.of(), false, Optional.empty());

  public Extras {
    elsewhere = List.copyOf(elsewhere);
  }
}
