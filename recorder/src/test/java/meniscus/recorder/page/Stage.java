package meniscus.recorder.page;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SortedMap;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import meniscus.core.pipeline.Command;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.pipeline.RunState;
import meniscus.core.time.UtcAnchor;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.page.bench.BenchOfPage;
import meniscus.recorder.session.Assembly;
import meniscus.recorder.session.FolderFiles;
import meniscus.recorder.session.SessionListener;
import meniscus.recorder.session.TestSession;

/**
 * A page served over a data folder with the simulated bench, and a test on a {@link StagedFeed}.
 */
final class Stage implements AutoCloseable {

  final Path data;
  final PageServer page;

  /** Keeps that have reached the test. */
  final AtomicInteger keeps = new AtomicInteger();

  /** On the test's own thread, however late a page comes to see the same. */
  private Consumer<RunState> looking = state -> {};

  private final List<Closing> toClose = new ArrayList<>();
  private Optional<Thread> thread = Optional.empty();

  Stage(Path data) throws IOException {
    this.data = data;
    Files.writeString(data.resolve("bench.json"), BenchOfPage.text("bench.json"));
    this.page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
  }

  /** Slows a feed down as soon as there is an average: it stays as young as it is. */
  void slowAtFirstAverage(StagedFeed feed, double speed) {
    AtomicBoolean slow = new AtomicBoolean();
    looking =
        state -> {
          if (state.average().flowRepeatU95() > 0 && slow.compareAndSet(false, true)) {
            feed.speed(speed);
          }
        };
  }

  /** A plan of these lifts [in]. */
  Path plan(String name, String lifts) throws IOException {
    String text =
        BenchOfPage.text("plan.json")
            .replaceFirst("\"ladder\": \\{[^}]*}", "\"ladder\": {\"lifts\": [" + lifts + "]}");
    return Files.writeString(data.resolve(name), text);
  }

  /** Runs a test that the page follows. */
  TestSession run(String name, Path plan, Feed feed, boolean handsFree) throws IOException {
    SortedMap<String, byte[]> files = FolderFiles.gather(data.resolve("bench.json"), plan);
    Assembly assembly = Assembly.of(files);
    Path folder = Files.createDirectories(data.resolve(name));
    FolderLock lock = FolderLock.take(folder);
    List<Header.Columns> columns = new ArrayList<>();
    for (int i = 0; i < feed.channels().size(); i++) {
      columns.add(
          new Header.Columns(assembly.bench().instruments().get(i).id(), feed.channels().get(i)));
    }
    Journal journal =
        Journal.create(
            lock,
            Optional.empty(),
            new Header("stage", Instant.now(), columns, files, Optional.empty()));
    TestSession session =
        new TestSession(
            feed,
            journal,
            assembly.acquisition(feed.channels()),
            assembly.pointMaker(),
            assembly.plan(),
            handsFree,
            Optional.empty(),
            false);
    page.follow(name, session, handsFree);
    session.listen(
        new SessionListener() {
          @Override
          public void state(RunState state) {
            looking.accept(state);
          }

          @Override
          public void told(OperatorMessage told) {
            if (told.kind() == OperatorMessage.Kind.ARMED) {
              keeps.incrementAndGet();
            }
          }
        });
    Thread owner =
        new Thread(
            () -> {
              try {
                session.run(new UtcAnchor(Instant.now(), feed.now()));
              } catch (InterruptedException e) {
                // The stage is closed.
              }
            },
            "staged test");
    owner.start();
    thread = Optional.of(owner);
    toClose.addAll(List.of(feed::close, journal::close, lock::close));
    return session;
  }

  /** Stops the test and waits until its thread has ended and all of its journal is written. */
  void stop(TestSession session) throws IOException, InterruptedException {
    session.submit(new Command.Stop("enough"));
    thread.orElseThrow().join();
    for (Closing each : toClose) {
      each.close();
    }
    toClose.clear();
  }

  @Override
  public void close() throws IOException {
    if (thread.isPresent()) {
      thread.get().interrupt();
      try {
        thread.get().join(5_000);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
    for (Closing each : toClose) {
      each.close();
    }
    page.close();
  }

  @FunctionalInterface
  private interface Closing {
    void close() throws IOException;
  }
}
