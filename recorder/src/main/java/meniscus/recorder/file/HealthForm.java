package meniscus.recorder.file;

import java.util.Optional;
import meniscus.core.bench.HealthEntry;
import meniscus.core.flow.Direction;

/** One line of the health log. Its numbers are SI, for their unit depends on what was checked. */
final class HealthForm {

  private HealthForm() {}

  static HealthEntry read(ObjectReader members) {
    return members.done(
        new HealthEntry(
            members.instant("at"),
            members.whole("epoch", 1, 1, 100_000),
            members.choice("kind", HealthEntry.Kind.class),
            members.text("subject"),
            members.has("direction")
                ? Optional.of(members.choice("direction", Direction.class))
                : Optional.empty(),
            members.optionalText("range"),
            members.number("value"),
            members.number("expected"),
            members.number("standard_uncertainty", 0),
            members.optionalNumber("limit"),
            members.text("remark", "")));
  }

  static ObjectWriter write(ObjectWriter written, HealthEntry entry) {
    written
        .put("at", entry.at().toString())
        .put("epoch", entry.epoch())
        .put("kind", entry.kind().word())
        .put("subject", entry.subject());
    entry.direction().ifPresent(direction -> written.put("direction", direction.word()));
    entry.range().ifPresent(range -> written.put("range", range));
    written
        .put("value", entry.value())
        .put("expected", entry.expected())
        .unless(0.0, "standard_uncertainty", entry.standardUncertainty());
    entry.limit().ifPresent(limit -> written.put("limit", limit));
    return written.text("remark", entry.remark());
  }
}
