package meniscus.recorder.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.lift.EventText;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.Command;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A fast channel's table has an end, and the test has not. The dial plays the fast channel. */
class FastCapTest {

  private static final String LIFT = "\"lift\": \\{\\s*\"instrument\": \"dial\"[^}]*}[^}]*}";

  private static final String TAP =
      """
      "fluctuation": {"instrument": "dial", "channel": "test_pressure",
        "low": "-1 kPa", "high": "1 kPa", "accuracy": {"absolute": "5 Pa"}}""";

  private static final int FRAMES = 60;

  @TempDir Path folder;

  @Test
  void moreThanTheMostIsSaidOnceAndTheTestGoesOn() throws Exception {
    List<String> events = new ArrayList<>();
    assertEquals(25, rows(new MadeUpSession(FastCapTest::tapped), 25, events));
    List<String> said =
        events.stream().filter(e -> e.contains("25 readings are recorded")).toList();
    assertEquals(1, said.size(), events.toString());
    assertTrue(said.get(0).contains("dial"), said.get(0));
    assertTrue(events.get(events.size() - 1).contains("enough"), "it ended as it was told");
  }

  @Test
  void untilThenEveryReadingIsRecorded() throws Exception {
    List<String> events = new ArrayList<>();
    assertEquals(FRAMES, rows(new MadeUpSession(FastCapTest::tapped), FRAMES, events));
    assertTrue(events.stream().noneMatch(e -> e.contains("readings are recorded")));
  }

  @Test
  void anInstrumentThatTheTestNeedsHasNoSuchEnd() throws Exception {
    String drop = "\"instrument\": \"manometer\", \"channel\": \"element_drop\"";
    MadeUpSession needed =
        new MadeUpSession(bench -> tapped(bench).replace(drop, drop.replace("manometer", "dial")));
    assertEquals(FRAMES, rows(needed, 25, new ArrayList<>()));
  }

  /** A gauge of two pressures in the dial's place, one of them the fast channel. */
  private static String tapped(String bench) {
    String tapped =
        bench.replace("dial-indicator", "two-channel-manometer").replaceFirst(LIFT, TAP);
    assertTrue(tapped.contains("fluctuation") && !tapped.contains("\"lift\""), tapped);
    return tapped;
  }

  /** How many readings the journal has after {@link #FRAMES}. */
  private long rows(MadeUpSession made, long most, List<String> events) throws Exception {
    TestSession[] session = new TestSession[1];
    try (FolderLock lock = FolderLock.take(folder);
        Journal journal = Journal.create(lock, Optional.empty(), made.header)) {
      session[0] =
          made.on(
                  journal,
                  frame -> {
                    if (frame == FRAMES - 1) {
                      session[0].submit(new Command.Stop("enough"));
                    }
                  })
              .withMostFastReadings(most);
      made.run(session[0]);
    }
    long[] rows = {0};
    JournalReader.read(
        Disk.REAL,
        folder.resolve(Journal.NAME),
        new JournalVisitor() {
          @Override
          public void row(long momentNanos, int instrument, long present, double[] values) {
            rows[0]++;
          }

          @Override
          public void event(TestEvent event) {
            events.add(EventText.detail(event));
          }
        });
    return rows[0];
  }
}
