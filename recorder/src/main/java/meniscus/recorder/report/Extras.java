package meniscus.recorder.report;

import java.util.Optional;
import meniscus.core.compare.CamFlow;
import meniscus.core.compare.ExternalCurve;

/**
 * What a report shows only when asked.
 *
 * @param cam that the curves are seen through
 * @param elsewhere a curve that was typed in
 * @param rulesOfThumb common practice beside the numbers
 */
public record Extras(
    Optional<CamFlow.Cam> cam, Optional<ExternalCurve> elsewhere, boolean rulesOfThumb) {

  public static final Extras NONE = new Extras(Optional.empty(), Optional.empty(), false);
}
