package meniscus.core.instrument;

import java.util.List;

/**
 * Speaks one protocol. Found by {@link java.util.ServiceLoader}; implementations are final, have a
 * public constructor without arguments, and keep no state: each line gets a {@link Decoder} of its
 * own.
 */
public interface InstrumentDriver {

  /** The door's version; a driver built for a newer one is refused with a reason. */
  int API_VERSION = 1;

  /** Stable and unique: lower-case words joined by hyphens, for example {@code text-stream}. */
  String id();

  /** One line for people: what it reads. */
  String summary();

  /** The {@link #API_VERSION} that this driver was compiled for. */
  default int apiVersion() {
    return API_VERSION;
  }

  /**
   * The channels that an instrument described by this sheet delivers, in the order of their
   * indices.
   *
   * @throws IllegalArgumentException when the sheet does not fit: what, where, what to do
   */
  List<Channel> channels(InstrumentSheet sheet);

  /**
   * A decoder for one line.
   *
   * @throws IllegalArgumentException when the sheet does not fit
   */
  Decoder newDecoder(InstrumentSheet sheet);
}
