package meniscus.recorder.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TimeZone;
import java.util.function.Consumer;
import meniscus.core.lift.EventText;
import meniscus.core.lift.TestEvent;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.pipeline.Command;
import meniscus.core.time.Moment;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A session on clocks that a test turns: the computer's clock is set, the computer sleeps. */
class SessionClockTest {

  private static final long HOUR_NANOS = 3_600_000_000_000L;

  @TempDir Path temp;

  /** What a session wrote while so many frames came and something happened at some of them. */
  private List<Object> written(int frames, int at, Consumer<MadeUpSession.Clocks> happens)
      throws Exception {
    return written(frames, Map.of(at, happens));
  }

  private List<Object> written(int frames, Map<Integer, Consumer<MadeUpSession.Clocks>> happens)
      throws Exception {
    MadeUpSession made = new MadeUpSession();
    TestSession[] session = new TestSession[1];
    Path folder = Files.createTempDirectory(temp, "test");
    try (FolderLock lock = FolderLock.take(folder);
        Journal journal = Journal.create(lock, Optional.empty(), made.header)) {
      session[0] =
          made.on(
              journal,
              frame -> {
                happens.getOrDefault(frame, clocks -> {}).accept(made.clocks);
                if (frame == frames - 1) {
                  session[0].submit(new Command.Stop("enough"));
                }
              });
      made.run(session[0]);
    }
    return read(folder.resolve(Journal.NAME));
  }

  /** Moments of rows, and events, in their order. */
  private static List<Object> read(Path journal) throws IOException {
    List<Object> all = new ArrayList<>();
    JournalReader.read(
        Disk.REAL,
        journal,
        new JournalVisitor() {
          @Override
          public void row(long momentNanos, int instrument, long present, double[] values) {
            all.add(new Moment(momentNanos));
          }

          @Override
          public void event(TestEvent event) {
            all.add(event);
          }
        });
    return all;
  }

  private static void assertMomentsNeverFall(List<Object> written) {
    Moment last = Moment.START;
    for (Object one : written) {
      Moment moment = one instanceof TestEvent event ? event.moment() : (Moment) one;
      assertTrue(!last.isAfter(moment), "after " + last + " came " + one);
      last = moment;
    }
  }

  private static List<TestEvent> events(List<Object> written, Kind kind) {
    return written.stream()
        .filter(TestEvent.class::isInstance)
        .map(TestEvent.class::cast)
        .filter(event -> event.kind() == kind)
        .toList();
  }

  @Test
  void aWallClockSetBackIsNotedAndChangesNothing() throws Exception {
    List<Object> quiet = written(60, -1, clocks -> {});
    List<Object> setBack =
        written(60, 30, clocks -> clocks.wallAhead.addAndGet(-3_600_000_000_000L));

    assertMomentsNeverFall(setBack);
    assertEquals(1, events(setBack, Kind.CLOCK).size());
    assertEquals(
        "clock jumped: the wall clock was set back by 3600.000 s (1 h 0 min); the test goes on by"
            + " its own clock",
        EventText.detail(events(setBack, Kind.CLOCK).get(0)));
    assertEquals(1, events(setBack, Kind.SEGMENT).size(), "no new segment");
    assertEquals(rows(quiet), rows(setBack), "the test's own clock did not mind");
  }

  @Test
  void afterASleepASegmentBeginsLaterByAsLongAsItSlept() throws Exception {
    // In a sleep the monotonic clock stands still and the wall clock goes on.
    List<Object> slept = written(60, 30, clocks -> clocks.wallAhead.addAndGet(600_000_000_000L));

    assertMomentsNeverFall(slept);
    String said = EventText.detail(events(slept, Kind.CLOCK).get(0));
    assertTrue(said.startsWith("clock jumped or computer slept"), said);
    assertTrue(said.contains("ahead by 600.000 s (10 min)"), said);
    List<TestEvent> segments = events(slept, Kind.SEGMENT);
    assertEquals(2, segments.size());
    double apart = segments.get(1).moment().secondsSince(segments.get(0).moment());
    assertEquals(603, apart, 1.2);
    Instant anchor = Instant.parse(EventText.detail(segments.get(1)));
    assertEquals(
        apart,
        (anchor.toEpochMilli() - MadeUpSession.STARTED.toEpochMilli()) * 1e-3,
        0.01,
        "moments and calendar agree across the sleep");
    List<Moment> rows = rows(slept);
    assertTrue(rows.get(rows.size() - 1).seconds() > 600);
    assertEquals(60, rows.size(), "no reading is lost");
  }

  @Test
  void aClockThatIsHeldInStepByATimeServerIsNotNoted() throws Exception {
    List<Object> slewed = written(60, 30, clocks -> clocks.wallAhead.addAndGet(400_000_000L));
    assertEquals(List.of(), events(slewed, Kind.CLOCK));
    assertEquals(1, events(slewed, Kind.SEGMENT).size());
  }

  @Test
  void aClockSetForthAndBackIsNotedTwiceAndNoMomentFalls() throws Exception {
    List<Object> set =
        written(
            90,
            Map.of(
                30, clocks -> clocks.wallAhead.addAndGet(HOUR_NANOS),
                60, clocks -> clocks.wallAhead.addAndGet(-HOUR_NANOS)));

    assertMomentsNeverFall(set);
    List<TestEvent> noted = events(set, Kind.CLOCK);
    assertEquals(2, noted.size());
    assertTrue(
        EventText.detail(noted.get(0)).contains("ran ahead by 3600.000 s"),
        EventText.detail(noted.get(0)));
    assertTrue(
        EventText.detail(noted.get(1)).contains("back by 3600.000 s"),
        EventText.detail(noted.get(1)));
    assertEquals(90, rows(set).size(), "no reading is lost");
  }

  @Test
  void aLeapSecondThatTheClockTakesAtOnceIsNotedAndChangesNothing() throws Exception {
    // POSIX time has no 23:59:60: the clock shows one second twice.
    List<Object> leapt = written(60, 30, clocks -> clocks.wallAhead.addAndGet(-1_000_000_000L));
    assertEquals(1, events(leapt, Kind.CLOCK).size());
    assertEquals(1, events(leapt, Kind.SEGMENT).size());
    assertEquals(rows(written(60, -1, clocks -> {})), rows(leapt));
  }

  @Test
  void anotherTimeZoneIsNeitherNotedNorSeen() throws Exception {
    List<Object> here = written(60, -1, clocks -> {});
    TimeZone home = TimeZone.getDefault();
    try {
      assertEquals(
          here,
          written(60, 30, clocks -> TimeZone.setDefault(TimeZone.getTimeZone("Pacific/Apia"))));
    } finally {
      TimeZone.setDefault(home);
    }
  }

  @Test
  void aTestThatIsResumedAfterTheClockWasSetBackStillGoesForward() {
    Moment last = Moment.START.plusSeconds(100);
    Instant was = MadeUpSession.STARTED;
    assertEquals(160, TestSession.resumeMoment(last, was, was.plusSeconds(60)).seconds(), 1e-9);
    assertTrue(TestSession.resumeMoment(last, was, was.minusSeconds(86_400)).isAfter(last));
  }

  private static List<Moment> rows(List<Object> written) {
    return written.stream().filter(Moment.class::isInstance).map(Moment.class::cast).toList();
  }
}
