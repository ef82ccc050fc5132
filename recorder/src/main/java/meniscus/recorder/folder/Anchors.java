package meniscus.recorder.folder;

import java.time.DateTimeException;
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

  void take(TestEvent event) {
    if (event.kind() == TestEvent.Kind.SEGMENT) {
      segments.add(new UtcAnchor(instant(event.detail()), event.moment()));
    }
  }

  /** A segment whose anchor cannot be read goes on with the one before. */
  private Instant instant(String text) {
    try {
      return Instant.parse(text);
    } catch (DateTimeException e) {
      return latest().at();
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
