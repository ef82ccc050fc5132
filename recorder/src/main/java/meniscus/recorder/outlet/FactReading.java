package meniscus.recorder.outlet;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.outlet.Fact;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalTail;
import meniscus.recorder.journal.Recovered;

/**
 * Reads what tests and their bench have come to, from journals, test folders and the bench file
 * into the spool. What it remembers only saves reading: all is found again without it.
 *
 * <p>Belongs to one thread.
 */
final class FactReading {

  /** A journal that nobody has written to for so long is let go of (our own choice). */
  private static final Duration RESTING = Duration.ofMinutes(1);

  private final Path benchFile;
  private final FollowedTests followed;
  private final FactSpool spool;
  private final Map<Path, Stamp> seen = new HashMap<>();
  private final Map<Path, JournalTail> tails = new HashMap<>();

  /** By which a file is known not to have changed. */
  private record Stamp(FileTime changed, long size) {
    static Stamp of(Path file) throws IOException {
      return new Stamp(Files.getLastModifiedTime(file), Files.size(file));
    }
  }

  FactReading(Path benchFile, FollowedTests followed, FactSpool spool) {
    this.benchFile = benchFile;
    this.followed = followed;
    this.spool = spool;
  }

  /**
   * Adds what is new to the spool.
   *
   * @throws IOException when one of all cannot be read; the others were
   */
  void look() throws IOException {
    Optional<IOException> spoiled = Optional.empty();
    for (FollowedTests.Followed test : followed.all()) {
      try {
        if (look(test.test())) {
          followed.done(test);
          Path journal = test.test().resolve(Journal.NAME);
          seen.remove(journal);
          tails.remove(journal);
        }
      } catch (IOException | FileNotAccepted e) {
        spoiled = Optional.of(new IOException(test.test() + ": " + e.getMessage(), e));
      }
    }
    Stamp bench = Stamp.of(benchFile);
    if (!bench.equals(seen.get(benchFile))) {
      spool.append(TestFacts.ofBench(BenchFile.read(benchFile), spool::has));
      seen.put(benchFile, bench);
    }
    if (spoiled.isPresent()) {
      throw spoiled.get();
    }
  }

  /** True when there is nothing more to come of it. */
  private boolean look(Path test) throws IOException {
    return switch (TestFolder.state(test)) {
      case NONE -> Files.isDirectory(test.getParent()) && !Files.exists(test);
      case UNFINISHED -> lookIntoJournal(test);
      case FINISHED -> {
        if (!spool.isFinished(TestFolder.stated(test).id().toString())) {
          spool.append(TestFacts.ofFolder(TestFolder.glance(test), spool::has));
        }
        yield true;
      }
    };
  }

  private boolean lookIntoJournal(Path test) throws IOException {
    Path journal = test.resolve(Journal.NAME);
    try {
      Stamp now = Stamp.of(journal);
      if (!now.equals(seen.get(journal))) {
        readOn(journal);
        seen.put(journal, now);
      } else if (now.changed().toInstant().isBefore(Instant.now().minus(RESTING))) {
        tails.remove(journal);
      }
      return false;
    } catch (NoSuchFileException e) {
      return look(test); // finished, or put aside, just now
    }
  }

  private void readOn(Path journal) throws IOException {
    // Taken out meanwhile: facts that are not in the spool by the end are read once more.
    JournalTail tail = Optional.ofNullable(tails.remove(journal)).orElse(new JournalTail(journal));
    Optional<Recovered> read = tail.look();
    if (read.isPresent()) {
      List<Fact> facts = TestFacts.ofJournal(read.get(), spool::has);
      if (!facts.isEmpty()) {
        // What was read may not be forced yet, and a fact must outlast a power cut.
        try (FileChannel channel = FileChannel.open(journal, StandardOpenOption.WRITE)) {
          channel.force(true);
        }
        spool.append(facts);
      }
    }
    tails.put(journal, tail);
  }
}
