package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.StandingPoints;
import meniscus.core.lift.TestEvent;
import meniscus.core.time.Moment;

/**
 * What a journal tells.
 *
 * @param source the file read
 * @param journal number of the journal
 * @param blocks that are whole; of two copies of a journal the one with more is the better
 * @param header empty when it is damaged in both its places
 * @param entries events and kept points in their order, without {@code REJECTED}
 * @param rows rows that can be read
 * @param lostRows rows known to be missing
 * @param last the latest moment in it
 * @param damage stretches that could not be read, the first 1000
 * @param end where to go on writing
 * @param nextSequence of the next block
 * @param nextRow number of the next row
 */
public record Recovered(
    Path source,
    int journal,
    long blocks,
    Optional<Header> header,
    List<Entry> entries,
    long rows,
    long lostRows,
    Moment last,
    List<Damage> damage,
    long end,
    long nextSequence,
    long nextRow) {

  /** An event, with its point when it is a kept one. */
  public record Entry(TestEvent event, Optional<LiftPoint> point) {
    public Entry {
      Objects.requireNonNull(event);
      Objects.requireNonNull(point);
    }
  }

  public Recovered {
    entries = List.copyOf(entries);
    damage = List.copyOf(damage);
  }

  public List<TestEvent> events() {
    return entries.stream().map(Entry::event).toList();
  }

  /** The points that stand after all redos, skips and undos, by rung. */
  public List<LiftPoint> standing() {
    return decided().points();
  }

  /** Numbers of the rungs left empty. */
  public List<Integer> skipped() {
    return decided().skipped();
  }

  private StandingPoints<LiftPoint> decided() {
    StandingPoints<LiftPoint> points = new StandingPoints<>();
    for (Entry entry : entries) {
      entry
          .point()
          .ifPresentOrElse(
              point -> points.keep(point.rung(), point.attempt(), point),
              () -> points.happened(entry.event().what()));
    }
    return points;
  }

  /**
   * @throws IOException when the test cannot be finished from this file
   */
  public Header headerOrRefuse() throws IOException {
    return header.orElseThrow(
        () ->
            new IOException(
                source
                    + " has lost its start (bench and plan) in both places:"
                    + " finish the test from its mirror"));
  }
}
