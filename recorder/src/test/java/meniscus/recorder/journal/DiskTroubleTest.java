package meniscus.recorder.journal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import meniscus.core.lift.LiftPoint;
import meniscus.recorder.disk.MemoryDisk;
import meniscus.recorder.journal.Receipt.Safety;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

@Tag("long")
class DiskTroubleTest {

  private static final Path FOLDER = Path.of("/test");
  private static final Path MIRROR = Path.of("/stick");
  private static final Path FILE = FOLDER.resolve(Journal.NAME);
  private static final long SEED = 20310507;

  private static final JournalLimits SHORT =
      new JournalLimits(
          200_000,
          Duration.ofMillis(200),
          Duration.ofMillis(5),
          Duration.ofMillis(20),
          Duration.ofMillis(50));

  private final MemoryDisk disk = new MemoryDisk();
  private final Random random = new Random(SEED);
  private final List<LiftPoint> points = new ArrayList<>();

  private Receipt keep(Journal journal) {
    LiftPoint point = Samples.point(points.size() + 1, 1, random);
    points.add(point);
    journal.row(points.size() * 1000L, 0, random.nextGaussian(), random.nextGaussian());
    return journal.kept(point, Samples.kept(point, journal.rows()));
  }

  /** Asks until the disk has caught up; a disk that never does ends in the test's time limit. */
  private static Receipt awaitSafe(Journal journal, Receipt receipt) {
    Receipt now = receipt;
    while (now.safety() != Safety.SAFE) {
      journal.force();
      now = journal.ask(receipt);
    }
    return now;
  }

  private Recovered read(Path file) throws IOException {
    return JournalReader.read(disk, file, JournalVisitor.NONE);
  }

  @Test
  void aFullDiskIsSaidNothingIsLostAndItGoesOnWhenSpaceReturns() throws Exception {
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), SHORT)) {
      BlockingQueue<Journal.State> told = new LinkedBlockingQueue<>();
      journal.onChange(told::add);
      assertTrue(keep(journal).safe());
      disk.room(FOLDER, 300);
      Receipt full = keep(journal);
      assertEquals(Safety.NOT_YET, full.safety());
      assertTrue(full.reason().contains("is full"), full.reason());
      assertTrue(told.take().trouble().isPresent());
      assertFalse(keep(journal).safe(), "and the next is not safe either");

      disk.room(FOLDER, 1 << 30);
      assertEquals(Safety.SAFE, awaitSafe(journal, full).safety());
      assertTrue(keep(journal).safe());
      assertTrue(told.take().trouble().isEmpty());
    }
    assertEquals(List.of(), read(FILE).damage());
    assertEquals(points, read(FILE).standing());
  }

  @Test
  void aJournalThatEndsOnAFullDiskSaysSoAndWhatWasSafeIsThere() throws IOException {
    Journal journal = Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), SHORT);
    keep(journal);
    disk.room(FOLDER, 100);
    keep(journal);
    IOException said = assertThrows(IOException.class, journal::close);
    assertTrue(said.getMessage().contains("is full"), said.getMessage());
    assertEquals(points.subList(0, 1), read(FILE).standing());
    disk.room(FOLDER, 1 << 30);
    try (Journal again = Journal.resume(disk, FOLDER, Optional.empty(), read(FILE), SHORT)) {
      again.row(9999, 1, 4.0);
    }
    assertEquals(List.of(), read(FILE).damage());
  }

  @Test
  void theEndWaitsForADiskThatCameBackAndTakesWhatHadWaited() throws Exception {
    Journal journal = Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), SHORT);
    assertTrue(keep(journal).safe());
    disk.room(FOLDER, 100);
    assertFalse(keep(journal).safe());
    disk.stall(FOLDER);
    disk.room(FOLDER, 1 << 30);
    CompletableFuture<Void> end =
        CompletableFuture.runAsync(
            () -> {
              try {
                journal.close();
              } catch (IOException e) {
                throw new UncheckedIOException(e);
              }
            });
    Thread.sleep(2 * SHORT.patience().toMillis()); // for longer than it waits while a test runs
    disk.goOn(FOLDER);
    end.get(1, TimeUnit.MINUTES);
    assertEquals(points, read(FILE).standing());
  }

  @Test
  void whenMemoryIsFullRowsAreRefusedAndThatIsSaid() throws IOException {
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), SHORT)) {
      disk.room(FOLDER, 0);
      int taken = 0;
      while (journal.row(taken, 0, 1.0, 2.0)) {
        taken++;
      }
      assertTrue(journal.state().full());
      assertEquals(taken, journal.rows());
      disk.room(FOLDER, 1 << 30);
      assertEquals(Safety.SAFE, awaitSafe(journal, journal.force()).safety());
      assertTrue(journal.row(taken, 0, 1.0, 2.0));
      assertEquals(taken + 1, journal.rows());
    }
    assertEquals(0, read(FILE).lostRows());
  }

  @Test
  void aStalledDiskHoldsUpNobodyForLong() throws IOException {
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), SHORT)) {
      disk.stall(FOLDER);
      Receipt stalled = keep(journal);
      assertEquals(Safety.NOT_YET, stalled.safety());
      assertTrue(journal.row(2000, 0, 1.0, 2.0));
      Receipt later = keep(journal);
      assertTrue(later.reason().contains("slow"), later.reason());
      assertTrue(journal.state().trouble().isPresent());
      disk.goOn(FOLDER);
      assertEquals(Safety.SAFE, awaitSafe(journal, stalled).safety());
    }
    assertEquals(points, read(FILE).standing());
  }

  @Test
  void aFolderPulledAwayAndPutBackLosesNothing() throws IOException {
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), SHORT)) {
      keep(journal);
      disk.pull(FOLDER);
      Receipt pulled = keep(journal);
      assertTrue(pulled.reason().contains("is gone"), pulled.reason());
      disk.putBack(FOLDER);
      assertEquals(Safety.SAFE, awaitSafe(journal, pulled).safety());
    }
    assertEquals(points, read(FILE).standing());
  }

  @Test
  void aDiskThatForgetsUnforcedBytesWhilePulledIsBroughtUpAgain() throws IOException {
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), SHORT)) {
      keep(journal);
      journal.row(1500, 1, 3.0);
      disk.pull(FOLDER);
      Receipt pulled = keep(journal);
      disk.losePower(random);
      disk.putBack(FOLDER);
      assertEquals(Safety.SAFE, awaitSafe(journal, pulled).safety());
    }
    assertEquals(points, read(FILE).standing());
    assertEquals(List.of(), read(FILE).damage());
  }

  @Test
  void aJournalRemovedByHandIsWrittenAnewFromWhatIsStillOpen() throws IOException {
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), SHORT)) {
      keep(journal);
      disk.delete(FILE);
      Receipt removed = keep(journal);
      assertEquals(Safety.SAFE, awaitSafe(journal, removed).safety());
    }
    assertEquals(points, read(FILE).standing());
    assertTrue(read(FILE).header().isPresent());
  }

  @Test
  void withoutItsMirrorATestGoesOnAndTheMirrorCatchesUp() throws IOException {
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.of(MIRROR), Samples.header(), SHORT)) {
      assertEquals(Safety.SAFE, keep(journal).safety());
      disk.pull(MIRROR);
      Receipt alone = keep(journal);
      assertEquals(Safety.WITHOUT_MIRROR, alone.safety());
      assertTrue(alone.safe());
      for (int i = 0; i < 50_000; i++) {
        journal.row(3000 + i, 0, 1.0, i);
      }
      disk.putBack(MIRROR);
      assertEquals(Safety.SAFE, awaitSafe(journal, alone).safety());
    }
    assertArrayEquals(disk.bytes(FILE), disk.bytes(MIRROR.resolve(Journal.NAME)));
    assertEquals(points, read(FILE).standing());
  }

  @Test
  void aStalledMirrorDoesNotHoldUpTheJournal() throws IOException {
    try (Journal journal =
        Journal.create(disk, FOLDER, Optional.of(MIRROR), Samples.header(), SHORT)) {
      disk.stall(MIRROR);
      assertEquals(Safety.WITHOUT_MIRROR, keep(journal).safety());
      assertEquals(Safety.WITHOUT_MIRROR, keep(journal).safety());
      disk.goOn(MIRROR);
    }
  }

  @Test
  void aTestDoesNotStartOnADiskThatTakesNothing() {
    disk.room(FOLDER, 10);
    IOException refused =
        assertThrows(
            IOException.class,
            () -> Journal.create(disk, FOLDER, Optional.empty(), Samples.header(), SHORT));
    assertTrue(refused.getMessage().contains("cannot start"), refused.getMessage());
  }

  @Test
  void aPowerCutLosesNothingThatWasSaidToBeKept() throws IOException {
    for (int i = 0; i < 40; i++) {
      powerCut(SEED + i);
    }
  }

  @Test
  @Tag("bench")
  void twoThousandPowerCuts() throws IOException {
    for (int i = 0; i < 2000; i++) {
      powerCut(SEED + 1000 + i);
    }
  }

  private static void powerCut(long seed) throws IOException {
    Random random = new Random(seed);
    MemoryDisk disk = new MemoryDisk();
    List<LiftPoint> safe = new ArrayList<>();
    Journal journal = Journal.create(disk, FOLDER, Optional.of(MIRROR), Samples.header(), SHORT);
    disk.cutPowerAfter(random.nextInt(60));
    for (int rung = 1; rung <= 12; rung++) {
      for (int i = random.nextInt(3000); i > 0; i--) {
        journal.row(rung * 10_000L - i, 0, random.nextGaussian(), 1.0);
      }
      LiftPoint point = Samples.point(rung, 1, random);
      if (!journal.kept(point, Samples.kept(point, journal.rows())).safe()) {
        break;
      }
      safe.add(point);
    }
    try {
      journal.close();
    } catch (IOException e) {
      assertTrue(e.getMessage().contains("power is off"), e.getMessage());
    }
    disk.losePower(random);
    Recovered after = JournalReader.read(disk, FILE, JournalVisitor.NONE);
    assertTrue(new HashSet<>(after.standing()).containsAll(safe), "seed " + seed);
    try (Journal again = Journal.resume(disk, FOLDER, Optional.of(MIRROR), after, SHORT)) {
      again.row(1_000_000, 1, 1.0);
    }
    Recovered resumed = JournalReader.read(disk, FILE, JournalVisitor.NONE);
    assertEquals(after.standing(), resumed.standing(), "seed " + seed);
    assertArrayEquals(disk.bytes(FILE), disk.bytes(MIRROR.resolve(Journal.NAME)), "seed " + seed);
  }
}
