package meniscus.recorder.feed;

import java.util.List;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.time.Moment;

/**
 * A feed whose happenings are written down before anyone sees them.
 *
 * @param feed where they come from
 * @param recorder is given each one first
 */
public record RecordedFeed(Feed feed, Consumer<BenchEvent> recorder) implements Feed {

  @Override
  public Bench bench() {
    return feed.bench();
  }

  @Override
  public List<List<Channel>> channels() {
    return feed.channels();
  }

  @Override
  public Optional<BenchEvent> next(double waitSeconds) throws InterruptedException {
    Optional<BenchEvent> happened = feed.next(waitSeconds);
    happened.ifPresent(recorder);
    return happened;
  }

  @Override
  public void hearAll() throws InterruptedException {
    feed.hearAll();
  }

  @Override
  public void hearAll(BooleanSupplier stopped) throws InterruptedException {
    feed.hearAll(stopped);
  }

  @Override
  public boolean takesTyping() {
    return feed.takesTyping();
  }

  @Override
  public Optional<String> refusal(String readings) {
    return feed.refusal(readings);
  }

  @Override
  public Optional<String> type(String readings) {
    return feed.type(readings);
  }

  @Override
  public int typedAhead() {
    return feed.typedAhead();
  }

  @Override
  public Moment now() {
    return feed.now();
  }

  @Override
  public void asks(Asked asked) {
    feed.asks(asked);
  }

  @Override
  public void valve(boolean shut) {
    feed.valve(shut);
  }

  @Override
  public void close() {
    feed.close();
  }
}
