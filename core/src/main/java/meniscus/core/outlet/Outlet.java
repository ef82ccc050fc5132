package meniscus.core.outlet;

/**
 * An open way out. Called by one thread, which belongs to this outlet alone: waiting holds up
 * nothing else.
 */
public interface Outlet extends AutoCloseable {

  /**
   * Sends a fact. That it was sent counts for nothing: only the receiver's own answer does, which
   * is handed to {@link OutletHost#answered}. Facts come in the order of their places; after the
   * way was opened anew, or when no answer comes, those that were not answered for come again.
   *
   * @param json the fact as it goes out, made in one place for all plugins
   * @throws OutletLost when the way is broken
   */
  void send(Fact fact, String json) throws OutletLost;

  /**
   * Shows what is read just now, ten times a second at most. May get lost.
   *
   * @param json the same as it goes out
   * @throws OutletLost when the way is broken
   */
  void show(LiveValues now, String json) throws OutletLost;

  @Override
  void close();
}
