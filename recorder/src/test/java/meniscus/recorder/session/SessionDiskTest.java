package meniscus.recorder.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.lift.EventText;
import meniscus.core.lift.TestEvent;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.pipeline.Command;
import meniscus.core.pipeline.MessageWords;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.recorder.disk.MemoryDisk;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.journal.Recovered;
import meniscus.recorder.journal.SmallJournals;
import org.junit.jupiter.api.Test;

/** A session whose disk is full for so long that memory is full too. */
class SessionDiskTest {

  private final MemoryDisk disk = new MemoryDisk();
  private final List<String> told = new ArrayList<>();
  private final List<TestEvent> events = new ArrayList<>();

  @Test
  void aDiskThatIsFullForLongIsToldBigAndWhatIsThrownAwayIsNotUsed() throws Exception {
    MadeUpSession made = new MadeUpSession();
    TestSession[] session = new TestSession[1];
    int[] frames = {0};
    try (Journal journal = SmallJournals.create(disk, made.header)) {
      session[0] = made.on(journal, frame -> onFrame(frame, frames, session));
      session[0].listen(listener(new MessageWords(session[0].ladder().plan())));
      made.run(session[0]);
    }

    assertTrue(told.get(0).contains("is full: free some space"), "" + told);
    assertTrue(told.get(0).contains("the test goes on in memory"), "" + told);
    assertTrue(told.get(told.size() - 1).contains("the disk works again"), "" + told);
    long lost =
        Long.parseLong(
            EventText.detail(event(Kind.BACK))
                .replaceAll(".*; (\\d+) readings were thrown away", "$1"));
    Recovered recovered =
        JournalReader.read(disk, SmallJournals.FOLDER.resolve(Journal.NAME), JournalVisitor.NONE);
    assertEquals(List.of(), recovered.damage());
    assertEquals(frames[0], recovered.rows() + lost, "every reading is written or counted");
    TestEvent stopped = recovered.events().get(recovered.events().size() - 1);
    assertEquals(recovered.rows(), stopped.afterRow());
  }

  private void onFrame(int frame, int[] frames, TestSession[] session) {
    frames[0]++;
    if (frame == 20) {
      disk.room(SmallJournals.FOLDER, 100);
    }
    if (seen(Kind.LOST) && frames[0] % 50 == 0) {
      disk.room(SmallJournals.FOLDER, 1 << 30);
    }
    if (seen(Kind.BACK)) {
      session[0].submit(new Command.Stop("enough"));
    }
  }

  private boolean seen(Kind kind) {
    return events.stream().anyMatch(event -> event.kind() == kind);
  }

  private TestEvent event(Kind kind) {
    return events.stream().filter(event -> event.kind() == kind).findFirst().orElseThrow();
  }

  private SessionListener listener(MessageWords words) {
    return new SessionListener() {
      @Override
      public void event(TestEvent event) {
        events.add(event);
      }

      @Override
      public void told(OperatorMessage sentence) {
        if (sentence.kind().word().startsWith("disk")) {
          told.add(words.sentence(sentence));
        }
      }
    };
  }
}
