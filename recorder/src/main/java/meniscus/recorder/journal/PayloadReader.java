package meniscus.recorder.journal;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;
import meniscus.core.quantity.Unit;
import meniscus.core.remark.RemarkText;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;

/**
 * Reads what {@link Payload} wrote. Anything that does not fit ends in a {@link RuntimeException},
 * which the journal reader turns into a {@link Damage}; memory taken stays within the payload's
 * size.
 */
final class PayloadReader {

  private final ByteBuffer in;

  PayloadReader(ByteBuffer payload) {
    this.in = payload;
  }

  /** A header whose files are still to come. */
  record Outline(
      String format,
      String program,
      Instant created,
      List<Header.Columns> instruments,
      SortedMap<String, Integer> fileSizes,
      Optional<UUID> id) {}

  Outline header() {
    String format = text();
    if (!format.equals(Payload.FORMAT)) {
      return new Outline(format, "", Instant.EPOCH, List.of(), new TreeMap<>(), Optional.empty());
    }
    String program = text();
    Instant created = Instant.parse(text());
    List<Header.Columns> instruments = list(this::columns);
    SortedMap<String, Integer> sizes = new TreeMap<>();
    for (int left = in.getInt(); left > 0; left--) {
      sizes.put(text(), in.getInt());
    }
    Optional<UUID> id = in.hasRemaining() ? Optional.of(UUID.fromString(text())) : Optional.empty();
    return new Outline(format, program, created, instruments, sizes, id);
  }

  private Header.Columns columns() {
    return new Header.Columns(text(), list(() -> new Channel(text(), Unit.named(text()))));
  }

  /**
   * @param from place of the piece in the file
   */
  record Piece(String name, int from, byte[] content) {}

  Piece file() {
    String name = text();
    int from = in.getInt();
    byte[] content = new byte[in.remaining()];
    in.get(content);
    return new Piece(name, from, content);
  }

  TestEvent event() {
    Moment moment = new Moment(in.getLong());
    long afterRow = in.getLong();
    String kind = text();
    return new TestEvent(
        moment,
        afterRow,
        EventText.what(
            TestEvent.Kind.named(kind)
                .orElseThrow(() -> new IllegalArgumentException("no event kind " + kind)),
            text()));
  }

  /** The parts in the order in which they were written. */
  LiftPoint point() {
    int rung = in.getInt();
    Moment keptAt = new Moment(in.getLong());
    double liftM = in.getDouble();
    Sweep sweep = Sweep.valueOf(constant());
    double areaM2 = in.getDouble();
    double flow = in.getDouble();
    OptionalDouble flowU95 = optional();
    OptionalDouble flowRepeatU95 = optional();
    double pressurePa = in.getDouble();
    boolean asAsked = in.get() != 0;
    Verdict verdict = Verdict.valueOf(constant());
    OptionalDouble unsteadiness = optional();
    double seconds = in.getDouble();
    double effectiveSamples = in.getDouble();
    OptionalDouble cdCurtain = optional();
    OptionalDouble liftReadM = optional();
    OptionalDouble liftU95 = optional();
    int attempt = in.getInt();
    String range = text();
    int segment = in.getInt();
    return new LiftPoint(
            new LiftPoint.Taken(rung, attempt, segment, keptAt, liftM, sweep, range),
            new LiftPoint.Flow(areaM2, flow, flowU95, flowRepeatU95, cdCurtain),
            new LiftPoint.Setting(pressurePa, asAsked, liftReadM, liftU95),
            new LiftPoint.Average(verdict, unsteadiness, seconds, effectiveSamples, false),
            list(() -> RemarkText.remark(text())),
            list(this::contribution))
        .readByEyeAsRemarked();
  }

  private Contribution contribution() {
    return new Contribution(
        text(),
        Contribution.Kind.valueOf(constant()),
        in.getDouble(),
        in.getDouble(),
        in.getDouble(),
        text());
  }

  /** The name of an enum constant, from the word that stands for it in files. */
  private String constant() {
    return text().toUpperCase(Locale.ROOT).replace('-', '_').replace(' ', '_');
  }

  private OptionalDouble optional() {
    boolean present = in.get() != 0;
    double value = in.getDouble();
    return present ? OptionalDouble.of(value) : OptionalDouble.empty();
  }

  private <T> List<T> list(java.util.function.Supplier<T> one) {
    List<T> all = new ArrayList<>();
    for (int left = in.getInt(); left > 0; left--) {
      all.add(one.get());
    }
    return all;
  }

  private String text() {
    int length = in.getInt();
    if (length < 0 || length > in.remaining()) {
      throw new IllegalArgumentException("a text of " + length + " bytes does not fit its block");
    }
    byte[] utf8 = new byte[length];
    in.get(utf8);
    return new String(utf8, StandardCharsets.UTF_8);
  }
}
