package meniscus.core.instrument;

import meniscus.core.time.Moment;

/** Where a decoder puts what it found. No object is made for a reading. */
public interface Sink {

  /**
   * One reading of a channel, as the instrument gave it, in the channel's unit.
   *
   * @param channel index in {@link InstrumentDriver#channels}
   * @param value finite; {@code NaN} where the instrument itself said "no value" or "overload"
   * @param moment of the chunk that held the frame's last byte
   */
  void reading(int channel, double value, Moment moment);

  /** The frame that the readings since the last call came from is complete. */
  void frame(Moment moment);

  /** Bytes that could not be read; kept and counted. */
  void rejected(Rejected rejected);
}
