package meniscus.recorder.session;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Stream;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.Reckoning;
import meniscus.core.time.Moment;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.disk.Renaming;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.RecordedFeed;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlateMounted;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.Recovered;

/**
 * The raw readings of one mounted plate: a journal while it is read, a test folder of its own
 * afterwards. The folder has a hidden name until it is whole, so that nothing half is ever seen.
 * Where the raw readings cannot be written the plate is read all the same, and that is said.
 *
 * <p>Belongs to one thread.
 */
public final class PlateRecording implements AutoCloseable {

  /** Beside the bench file: holds a test folder for each mounting of a plate. */
  public static final String FOLDER = "plate-readings";

  private static final String TAKING = ".taking-";
  private static final DateTimeFormatter STAMP =
      DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmmss'Z'", Locale.ROOT).withZone(ZoneOffset.UTC);

  private final FolderLock lock;
  private final Journal journal;
  private final PlateMounted mounted;
  private final Feed feed;
  private final Consumer<String> trouble;
  private Moment last = Moment.START;
  private double askedPa;
  private int attempt;
  private boolean kept;
  private boolean lost;

  private PlateRecording(
      FolderLock lock,
      Journal journal,
      PlateMounted mounted,
      Feed feed,
      Instant opening,
      Consumer<String> trouble) {
    this.lock = lock;
    this.journal = journal;
    this.mounted = mounted;
    this.feed = new RecordedFeed(feed, this::happened);
    this.trouble = trouble;
    write(new TestEvent.Segment(opening));
    anew();
  }

  /**
   * Begins, once all instruments were heard and before the first reading is taken.
   *
   * @param home the folder that holds all readings of plates
   * @param benchFile whose copy goes along
   * @param opening when the feed was opened
   * @param trouble is told why raw readings cannot be kept
   * @return empty where they cannot be
   */
  public static Optional<PlateRecording> begin(
      Path home,
      Path benchFile,
      PlateMounted mounted,
      Feed feed,
      Instant opening,
      Consumer<String> trouble) {
    try {
      Assembly assembly = Assembly.of(FolderFiles.gather(benchFile, mounted));
      Path folder = free(home, opening, mounted);
      Files.createDirectories(folder);
      FolderLock lock = FolderLock.take(folder);
      try {
        return Optional.of(
            new PlateRecording(
                lock,
                Journal.create(
                    lock, Optional.empty(), TestRecorder.header(assembly, feed, opening)),
                mounted,
                feed,
                opening,
                trouble));
      } catch (IOException | RuntimeException e) {
        lock.close();
        throw e;
      }
    } catch (IOException | FileNotAccepted e) {
      trouble.accept(e.getMessage());
      return Optional.empty();
    }
  }

  /** A hidden name, where neither it nor the name without the veil is taken. */
  private static Path free(Path home, Instant opening, PlateMounted mounted) {
    String name =
        STAMP.format(opening)
            + "-"
            + (mounted.name() + "-" + mounted.direction().word() + "-" + mounted.asked().range())
                .replaceAll("[^A-Za-z0-9]+", "-");
    for (int n = 1; ; n++) {
      String numbered = n == 1 ? name : name + "-" + n;
      if (!Files.exists(home.resolve(numbered)) && !Files.exists(home.resolve(TAKING + numbered))) {
        return home.resolve(TAKING + numbered);
      }
    }
  }

  /** The bench's stream: what comes out of it is in the journal before anyone sees it. */
  public Feed feed() {
    return feed;
  }

  /** A test pressure is asked for. */
  public void asks(double testPressurePa) {
    attempt = testPressurePa == askedPa ? attempt + 1 : 1;
    askedPa = testPressurePa;
  }

  /** All that was read so far is forgotten, as by a path at its beginning. */
  public void anew() {
    write(new TestEvent.Reckoned(Reckoning.NOW.word()));
  }

  /** An average begins. */
  public void begun(Moment at) {
    last = at.isAfter(last) ? at : last;
    write(new TestEvent.Begun(mounted.rung(askedPa), attempt, askedPa, 1));
  }

  /** The average is taken: its raw readings are on the disk before anyone is told of it. */
  public void kept() {
    write(new TestEvent.Kept(mounted.rung(askedPa), attempt));
    journal.force();
    kept = true;
  }

  private void write(TestEvent.What what) {
    journal.event(new TestEvent(last, 0, what)); // the journal knows after how many rows
  }

  private void happened(BenchEvent event) {
    last = event.moment().isAfter(last) ? event.moment() : last;
    event
        .<Runnable>fold(
            arrived -> () -> frame(arrived.frame()),
            unread -> () -> {},
            gone -> () -> write(new TestEvent.Lost(name(gone.instrument()), gone.reason())),
            back -> () -> write(new TestEvent.Back(name(back.instrument()), "")),
            ended -> () -> {},
            remark ->
                () ->
                    write(
                        new TestEvent.Said(
                            TestEvent.Kind.NOTE, name(remark.instrument()) + ": " + remark.text())))
        .run();
  }

  private void frame(Frame frame) {
    if (!lost && !journal.row(frame)) {
      lost = true; // without it nothing can be worked out again
      trouble.accept("the disk takes no more of them");
    }
  }

  private String name(int instrument) {
    return feed.bench().instruments().get(instrument).id();
  }

  /**
   * Makes the test folder; none where nothing was kept. What cannot be finished now is next time.
   */
  @Override
  public void close() {
    try {
      try {
        journal.close();
      } finally {
        lock.close();
      }
      if (kept && !lost) {
        finish(lock.folder());
      } else {
        Renaming.deleteTree(lock.folder());
      }
    } catch (IOException | FileNotAccepted e) {
      trouble.accept(e.getMessage());
    }
  }

  /**
   * Finishes what a program that was killed has left; what another one is taking just now stays.
   *
   * @param home the folder that holds all readings of plates
   * @param trouble is told what cannot be finished
   */
  public static void finishLeft(Path home, Consumer<String> trouble) {
    if (!Files.isDirectory(home)) {
      return;
    }
    try (Stream<Path> all = Files.list(home)) {
      for (Path left :
          all.filter(folder -> folder.getFileName().toString().startsWith(TAKING))
              .sorted()
              .toList()) {
        try {
          finish(left);
        } catch (IOException | FileNotAccepted e) {
          trouble.accept(e.getMessage());
        }
      }
    } catch (IOException e) {
      trouble.accept(e.getMessage());
    }
  }

  private static void finish(Path folder) throws IOException {
    boolean whole;
    try (FolderLock lock = FolderLock.take(folder)) {
      whole = isWhole(lock);
    }
    if (whole) {
      String name = folder.getFileName().toString().substring(TAKING.length());
      Renaming.move(folder, folder.resolveSibling(name));
    } else {
      Renaming.deleteTree(folder);
    }
  }

  private static boolean isWhole(FolderLock lock) throws IOException {
    Path journal = lock.folder().resolve(Journal.NAME);
    if (!Files.exists(journal)) {
      return TestFolder.state(lock.folder()) == TestFolder.State.FINISHED;
    }
    Recovered left = JournalReader.read(journal);
    boolean kept = left.events().stream().anyMatch(e -> e.what() instanceof TestEvent.Kept);
    if (left.header().isEmpty() || !kept || left.lostRows() > 0) {
      return false;
    }
    try {
      Finish.folder(
          lock, Optional.empty(), trouble -> {}, Assembly.of(left.headerOrRefuse().files()));
      return true;
    } catch (BadTestFolder e) {
      return false; // it does not work out: it would be of no use to anyone
    }
  }
}
