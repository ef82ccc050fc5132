package meniscus.drivers.line;

import java.util.List;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/**
 * One kind of line: serial, TCP, playback. Found by {@link java.util.ServiceLoader}, so that other
 * kinds may come as plugins; implementations are final, have a public constructor without arguments
 * and keep no state.
 */
public interface LineKind {

  /** The version of this door; it grows by default methods only. */
  int API_VERSION = 1;

  /** Kinds compiled for this version are still understood. */
  int OLDEST_API_VERSION = 1;

  /** What the member {@code "kind"} of a line's settings says. */
  String id();

  /** One line for people. */
  String summary();

  /** The version that this kind was compiled for; always {@code return API_VERSION;}. */
  int apiVersion();

  /**
   * How to open the line that these settings describe. Opens nothing yet.
   *
   * @throws Refusal when a setting is missing, unknown or out of range
   */
  LineOpener opener(Settings settings);

  /** What of this kind is plugged in now; empty where that cannot be known. */
  default List<FoundLine> found() {
    return List.of();
  }
}
