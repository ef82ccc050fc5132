package meniscus.recorder.folder;

import java.io.IOException;
import java.io.InputStream;
import java.util.List;
import meniscus.core.lift.EventText;
import meniscus.core.lift.TestEvent;
import meniscus.core.quantity.Worded;
import meniscus.core.time.Moment;
import meniscus.core.time.UtcAnchor;

/** events.csv: what happened, in its order. */
final class EventsTable {

  static final String FILE = "events.csv";

  static final List<Field> FIELDS =
      List.of(
          Field.integer("moment_ns", "ns", "on the test's monotonic clock"),
          Field.instant("at", "calendar time, UTC, from the segment's anchor"),
          Field.oneOf("kind", "what happened", Worded.words(TestEvent.Kind.values())),
          Field.text("detail", "kind by kind, see the description of formats"),
          Field.integer("after_row", "1", "rows of samples before it"));

  private EventsTable() {}

  static List<String> row(TestEvent event, UtcAnchor anchor) {
    return List.of(
        Long.toString(event.moment().nanos()),
        Cell.instant(anchor.instantOf(event.moment())),
        event.kind().word(),
        Cell.text(EventText.detail(event)),
        Long.toString(event.afterRow()));
  }

  /** Is given one event after the other. */
  interface EventReader {
    void event(TestEvent event) throws IOException;
  }

  static void read(InputStream in, EventReader reader) throws IOException {
    Csv.read(
        in,
        FILE,
        Field.names(FIELDS),
        row ->
            reader.event(
                new TestEvent(
                    new Moment(row.integer("moment_ns")),
                    row.integer("after_row"),
                    EventText.what(row.word("kind", TestEvent.Kind.class), row.text("detail")))));
  }
}
