package meniscus.recorder.feed;

/** What the person at a bench is told outside a lift test: a kind with its numbers. */
public interface BenchMessage {

  /** The same in words, for the terminal and the page alike. */
  String sentence();
}
