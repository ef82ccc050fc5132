package meniscus.recorder.folder;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import meniscus.core.lift.TestEvent;
import meniscus.core.time.Moment;
import meniscus.core.time.UtcAnchor;

/** The calendar anchors of a test's segments, gathered from its events as they come. */
final class Anchors {

  private final UtcAnchor beforeAny;
  private final List<UtcAnchor> segments = new ArrayList<>();

  /**
   * @param created stands in for the anchor until a segment begins
   */
  Anchors(Instant created) {
    this.beforeAny = new UtcAnchor(created, Moment.START);
  }

  /** A segment whose anchor cannot be read goes on with the one before. */
  void take(TestEvent event) {
    if (event.what() instanceof TestEvent.Segment segment) {
      segments.add(new UtcAnchor(segment.anchor(), event.moment()));
    } else if (event.kind() == TestEvent.Kind.SEGMENT) {
      segments.add(new UtcAnchor(latest().at(), event.moment()));
    }
  }

  UtcAnchor latest() {
    return segments.isEmpty() ? beforeAny : segments.get(segments.size() - 1);
  }

  /**
   * @param segment 1 for the first
   */
  UtcAnchor of(int segment) {
    return segment >= 1 && segment <= segments.size() ? segments.get(segment - 1) : latest();
  }
}
