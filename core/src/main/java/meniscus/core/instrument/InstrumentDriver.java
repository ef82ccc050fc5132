package meniscus.core.instrument;

import java.util.List;
import meniscus.core.refusal.Refusal;

/**
 * Speaks one protocol. Found by {@link java.util.ServiceLoader}; implementations are final, have a
 * public constructor without arguments, and keep no state: each line gets a {@link Decoder} of its
 * own.
 */
public interface InstrumentDriver {

  /** The door's version. It grows by default methods only, and by one each time. */
  int API_VERSION = 1;

  /** Drivers compiled for this version are still understood. */
  int OLDEST_API_VERSION = 1;

  /** Stable and unique: lower-case words joined by hyphens, for example {@code text-stream}. */
  String id();

  /** One line for people: what it reads. */
  String summary();

  /**
   * The version that this driver was compiled for; always {@code return API_VERSION;}. The compiler
   * writes the number into the driver, so a driver that needs a newer door than this program has is
   * refused with that reason, not when it fails in the middle of a test.
   */
  int apiVersion();

  /**
   * The channels that an instrument described by this sheet delivers, in the order of their
   * indices.
   *
   * @throws Refusal when the sheet does not fit: what, where, what to do
   */
  List<Channel> channels(InstrumentSheet sheet);

  /**
   * A decoder for one line.
   *
   * @throws Refusal when the sheet does not fit
   */
  Decoder newDecoder(InstrumentSheet sheet);
}
