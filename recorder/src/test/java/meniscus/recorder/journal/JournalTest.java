package meniscus.recorder.journal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class JournalTest {

  @TempDir Path folder;

  @Test
  void whatWasTakenIsReadBackToTheLastBit() throws IOException {
    Random random = new Random(4);
    StringBuilder wanted = new StringBuilder();
    List<LiftPoint> points = new ArrayList<>();
    try (FolderLock lock = FolderLock.take(folder);
        Journal journal = Journal.create(lock, Optional.empty(), Samples.header())) {
      journal.event(Samples.event(Kind.SEGMENT, 0, 0, "2031-05-06T07:08:09.123456789Z"));
      for (int rung = 1; rung <= 5; rung++) {
        for (int i = 0; i < 2000; i++) {
          double p = random.nextGaussian() * 1e3;
          long moment = rung * 10_000_000_000L + i * 1_000_000L - random.nextInt(100);
          journal.row(moment, 0, p, Double.NaN);
          journal.row(moment, 0, 2, new double[] {99, -0.0});
          journal.row(moment, 1, Double.MIN_VALUE);
          wanted.append(moment + " 0 3 " + p + " NaN\n");
          wanted.append(moment + " 0 2 -0.0\n");
          wanted.append(moment + " 1 1 " + Double.MIN_VALUE + "\n");
        }
        LiftPoint point = Samples.point(rung, 1, random);
        assertTrue(journal.kept(point, Samples.kept(point, journal.rows())).safe());
        points.add(point);
      }
      journal.event(Samples.event(Kind.REJECTED, 61, journal.rows(), "manometer: no number"));
      journal.event(Samples.event(Kind.NOTE, 62, journal.rows(), "caf\u00e9, \"quoted\"\nline"));
    }
    Samples.Rows rows = new Samples.Rows();
    Recovered recovered = JournalReader.read(Disk.REAL, folder.resolve(Journal.NAME), rows);

    assertEquals(wanted.toString(), rows.text.toString());
    assertEquals(points, recovered.standing());
    assertEquals(List.of(), recovered.damage());
    assertEquals(30_000, recovered.rows());
    assertEquals("caf\u00e9, \"quoted\"\nline", EventText.detail(last(recovered.events())));
    assertEquals(7, recovered.events().size(), "all but the rejected");
    Header header = recovered.headerOrRefuse();
    assertEquals(Samples.header().instruments(), header.instruments());
    assertEquals(Samples.header().created(), header.created());
    assertEquals(Samples.header().id(), header.id());
    assertEquals(Samples.header().files().keySet(), header.files().keySet());
    assertArrayEquals(Samples.header().plan(), header.plan());
    assertEquals(
        List.of("manometer.p1", "manometer.p2", "dial.lift"),
        header.instruments().stream()
            .flatMap(one -> one.channels().stream().map(c -> one.instrument() + "." + c.name()))
            .toList());
  }

  @Test
  void aFrameWithoutAnyChannelIsNoRow() throws IOException {
    try (FolderLock lock = FolderLock.take(folder);
        Journal journal = Journal.create(lock, Optional.empty(), Samples.header())) {
      assertTrue(journal.row(1, 0, 0, new double[2]));
      assertEquals(0, journal.rows());
      assertThrows(IllegalArgumentException.class, () -> journal.row(1, 1, 2, new double[2]));
    }
  }

  @Test
  void redoSkipAndUndoDecideWhichPointsStand() throws IOException {
    Random random = new Random(5);
    LiftPoint first = Samples.point(1, 1, random);
    LiftPoint again = Samples.point(1, 2, random);
    LiftPoint second = Samples.point(2, 1, random);
    LiftPoint third = Samples.point(3, 1, random);
    try (FolderLock lock = FolderLock.take(folder);
        Journal journal = Journal.create(lock, Optional.empty(), Samples.header())) {
      journal.kept(first, Samples.kept(first, 0));
      journal.event(Samples.event(Kind.REDO, 11, 0, "rung=1"));
      journal.kept(again, Samples.kept(again, 0));
      journal.kept(second, Samples.kept(second, 0));
      journal.event(Samples.event(Kind.REDO, 21, 0, "rung=2"));
      journal.event(Samples.event(Kind.UNDONE, 22, 0, "rung=2 now=kept:1 step=redo"));
      journal.kept(third, Samples.kept(third, 0));
      journal.event(Samples.event(Kind.UNDONE, 32, 0, "rung=3 now=open step=keep"));
      journal.event(Samples.event(Kind.SKIPPED, 33, 0, "rung=3"));
    }
    Recovered read = JournalReader.read(folder.resolve(Journal.NAME));
    assertEquals(List.of(again, second), read.standing());
    assertEquals(List.of(3), read.skipped());
  }

  @Test
  void aResumedJournalGoesOnWhereTheOldOneStopped() throws IOException {
    Random random = new Random(6);
    LiftPoint first = Samples.point(1, 1, random);
    LiftPoint second = Samples.point(2, 1, random);
    Path file = folder.resolve(Journal.NAME);
    try (FolderLock lock = FolderLock.take(folder)) {
      try (Journal journal = Journal.create(lock, Optional.empty(), Samples.header())) {
        journal.row(5, 1, 1.0);
        journal.kept(first, Samples.kept(first, journal.rows()));
      }
      byte[] whole = Files.readAllBytes(file);
      Files.write(
          file, new byte[] {(byte) 0x8D, 0x4D, 0x4A}, java.nio.file.StandardOpenOption.APPEND);
      Recovered torn = JournalReader.read(file);
      assertEquals(1, torn.damage().size());
      assertEquals(whole.length, torn.end());
      try (Journal journal = Journal.resume(lock, Optional.empty(), torn)) {
        assertEquals(1, journal.rows());
        journal.row(6, 1, 2.0);
        journal.kept(second, Samples.kept(second, journal.rows()));
      }
    }
    Samples.Rows rows = new Samples.Rows();
    Recovered recovered = JournalReader.read(Disk.REAL, file, rows);
    assertEquals(List.of(), recovered.damage());
    assertEquals("5 1 1 1.0\n6 1 1 2.0\n", rows.text.toString());
    assertEquals(List.of(first, second), recovered.standing());
  }

  /** Cut anywhere, also within a block, as it is seen while it grows. */
  @Test
  void readOnWhileItGrowsAJournalTellsWhatItTellsAsAWholeAndNothingTwice() throws IOException {
    long seed = 20310509;
    Random random = new Random(seed);
    try (FolderLock lock = FolderLock.take(folder);
        Journal journal = Journal.create(lock, Optional.empty(), Samples.header())) {
      for (int rung = 1; rung <= 20; rung++) {
        for (int i = 0; i < 50; i++) {
          journal.row(rung * 1_000_000_000L + i, 1, random.nextDouble());
        }
        LiftPoint point = Samples.point(rung, 1, random);
        journal.kept(point, Samples.kept(point, journal.rows()));
      }
    }
    byte[] whole = Files.readAllBytes(folder.resolve(Journal.NAME));
    Path growing = folder.resolve("growing");
    JournalTail tail = new JournalTail(growing);
    List<Recovered.Entry> told = List.of();
    for (int length = 0; length < whole.length; ) {
      length = Math.min(whole.length, length + 1 + random.nextInt(700));
      Files.write(growing, Arrays.copyOf(whole, length));
      List<Recovered.Entry> now = JournalReader.read(growing).entries();
      Optional<Recovered> more = tail.look();
      assertEquals(now.size() > told.size(), more.isPresent(), "seed " + seed + ", " + length);
      assertEquals(now, more.map(Recovered::entries).orElse(told));
      told = now;
    }
    assertEquals(20, told.size());
    assertEquals(Optional.empty(), tail.look());
    // What was read is not read again: were it, this would tell of the damage.
    Arrays.fill(whole, Block.HEAD, whole.length, (byte) 0);
    Files.write(growing, whole);
    assertEquals(Optional.empty(), tail.look());
    Path other = Files.createDirectory(folder.resolve("other"));
    try (FolderLock lock = FolderLock.take(other);
        Journal journal = Journal.create(lock, Optional.empty(), Samples.header())) {
      journal.event(Samples.event(Kind.NOTE, 1, 0, "in its place"));
    }
    Files.copy(other.resolve(Journal.NAME), growing, StandardCopyOption.REPLACE_EXISTING);
    assertEquals(1, tail.look().orElseThrow().entries().size());
  }

  @Test
  void theMirrorAloneIsEnoughToGoOnElsewhere() throws IOException {
    Random random = new Random(7);
    LiftPoint first = Samples.point(1, 1, random);
    Path here = Files.createDirectory(folder.resolve("here"));
    Path stick = Files.createDirectory(folder.resolve("stick"));
    Path elsewhere = Files.createDirectory(folder.resolve("elsewhere"));
    try (FolderLock lock = FolderLock.take(here);
        FolderLock mirror = FolderLock.take(stick);
        Journal journal = Journal.create(lock, Optional.of(mirror), Samples.header())) {
      journal.row(5, 1, 1.0);
      assertEquals(
          Receipt.Safety.SAFE, journal.kept(first, Samples.kept(first, journal.rows())).safety());
      assertArrayEquals(
          Files.readAllBytes(here.resolve(Journal.NAME)),
          Files.readAllBytes(stick.resolve(Journal.NAME)));
    }
    Files.delete(here.resolve(Journal.NAME));

    Recovered found =
        JournalReader.better(elsewhere.resolve(Journal.NAME), stick.resolve(Journal.NAME));
    try (FolderLock lock = FolderLock.take(elsewhere);
        FolderLock mirror = FolderLock.take(stick);
        Journal journal = Journal.resume(lock, Optional.of(mirror), found)) {
      journal.row(6, 1, 2.0);
    }
    Recovered moved = JournalReader.read(elsewhere.resolve(Journal.NAME));
    assertEquals(List.of(first), moved.standing());
    assertEquals(2, moved.rows());
    assertEquals(moved.damage(), List.of());
    assertArrayEquals(
        Files.readAllBytes(elsewhere.resolve(Journal.NAME)),
        Files.readAllBytes(stick.resolve(Journal.NAME)));
  }

  @Test
  void ofTwoCopiesTheOneThatTellsMoreIsTaken() throws IOException {
    Path here = Files.createDirectory(folder.resolve("here"));
    Path stick = Files.createDirectory(folder.resolve("stick"));
    LiftPoint first = Samples.point(1, 1, new Random(8));
    try (FolderLock lock = FolderLock.take(here);
        FolderLock mirror = FolderLock.take(stick);
        Journal journal = Journal.create(lock, Optional.of(mirror), Samples.header())) {
      journal.kept(first, Samples.kept(first, 0));
    }
    Path file = here.resolve(Journal.NAME);
    byte[] bytes = Files.readAllBytes(file);
    bytes[bytes.length - 1] ^= 1;
    Files.write(file, bytes);

    Recovered better = JournalReader.better(file, stick.resolve(Journal.NAME));
    assertEquals(List.of(first), better.standing());
    try (FolderLock lock = FolderLock.take(here);
        FolderLock mirror = FolderLock.take(stick);
        Journal journal = Journal.resume(lock, Optional.of(mirror), better)) {
      journal.row(6, 1, 2.0);
    }
    assertEquals(List.of(first), JournalReader.read(file).standing());
    assertEquals(List.of(), JournalReader.read(file).damage());
  }

  @Test
  void theJournalOfAnotherTestIsNeverWrittenOver() throws IOException {
    Path here = Files.createDirectory(folder.resolve("here"));
    Path stick = Files.createDirectory(folder.resolve("stick"));
    try (FolderLock lock = FolderLock.take(here);
        FolderLock mirror = FolderLock.take(stick)) {
      Journal.create(lock, Optional.empty(), Samples.header()).close();
      Journal.create(mirror, Optional.empty(), Samples.header()).close();
      byte[] before = Files.readAllBytes(stick.resolve(Journal.NAME));
      Recovered found = JournalReader.read(here.resolve(Journal.NAME));
      IOException refused =
          assertThrows(IOException.class, () -> Journal.resume(lock, Optional.of(mirror), found));
      assertTrue(refused.getMessage().contains("another test"), refused.getMessage());
      assertArrayEquals(before, Files.readAllBytes(stick.resolve(Journal.NAME)));
    }
  }

  @Test
  void aFolderWithAnUnfinishedTestIsRefused() throws IOException {
    try (FolderLock lock = FolderLock.take(folder)) {
      Journal.create(lock, Optional.empty(), Samples.header()).close();
      IOException refused =
          assertThrows(
              IOException.class, () -> Journal.create(lock, Optional.empty(), Samples.header()));
      assertTrue(refused.getMessage().contains("--resume"), refused.getMessage());
    }
  }

  @Test
  void aSecondRecorderOnTheSameFolderIsRefused() throws IOException {
    FolderLock lock = FolderLock.take(folder);
    IOException refused = assertThrows(IOException.class, () -> FolderLock.take(folder));
    assertTrue(refused.getMessage().contains("another recorder"), refused.getMessage());
    lock.close();
    assertFalse(Files.exists(folder.resolve(FolderLock.NAME)));
  }

  @Test
  void aFolderThatIsNotThereIsSaidInWords() {
    Path nowhere = folder.resolve("nowhere");
    IOException lock = assertThrows(IOException.class, () -> FolderLock.take(nowhere));
    assertTrue(lock.getMessage().contains("is gone"), lock.getMessage());
    IOException read =
        assertThrows(IOException.class, () -> JournalReader.read(nowhere.resolve(Journal.NAME)));
    assertTrue(read.getMessage().contains("no test was left"), read.getMessage());
  }

  @Test
  void aLockFileLeftByACrashLocksNothing() throws IOException {
    Files.writeString(folder.resolve(FolderLock.NAME), "left behind");
    FolderLock.take(folder).close();
  }

  private static <T> T last(List<T> list) {
    return list.get(list.size() - 1);
  }
}
