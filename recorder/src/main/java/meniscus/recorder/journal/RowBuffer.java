package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;

/**
 * Rows on their way into one block: number of the first row (8 bytes), its moment (8), how many
 * (4), then row by row: nanoseconds since the row before (signed varint), instrument (varint) with
 * the lowest bit set when channels are absent, in that case which are present (varint), and the
 * present values as the 8 bytes of their doubles.
 */
final class RowBuffer {

  /** A block is closed before it could grow above this. */
  static final int FULL = 64 << 10;

  private static final int HEAD = 20;
  private static final int LARGEST_ROW = 10 + 10 + 10 + 8 * Long.SIZE;

  private final ByteBuffer bytes = ByteBuffer.allocate(HEAD + FULL + LARGEST_ROW).position(HEAD);
  private int count;
  private long lastMoment;

  /** Adds a row; {@code all} is the mask of a frame that has every channel. */
  void add(long firstRow, long moment, int instrument, long present, long all, double[] values) {
    if (count == 0) {
      bytes.putLong(0, firstRow).putLong(8, moment);
      lastMoment = moment;
    }
    long delta = moment - lastMoment;
    varint((delta << 1) ^ (delta >> 63));
    varint((long) instrument << 1 | (present == all ? 0 : 1));
    if (present != all) {
      varint(present);
    }
    for (long left = present; left != 0; left &= left - 1) {
      bytes.putLong(Double.doubleToRawLongBits(values[Long.numberOfTrailingZeros(left)]));
    }
    lastMoment = moment;
    bytes.putInt(16, ++count);
  }

  boolean isEmpty() {
    return count == 0;
  }

  boolean isFull() {
    return bytes.position() >= HEAD + FULL;
  }

  int size() {
    return bytes.position();
  }

  /** The payload, and a fresh start. */
  byte[] take() {
    byte[] payload = new byte[bytes.position()];
    bytes.get(0, payload);
    bytes.position(HEAD);
    count = 0;
    return payload;
  }

  private void varint(long value) {
    long left = value;
    while ((left & ~0x7fL) != 0) {
      bytes.put((byte) (left & 0x7f | 0x80));
      left >>>= 7;
    }
    bytes.put((byte) left);
  }

  /** As {@link JournalVisitor#row}. */
  interface Shown {
    void row(long momentNanos, int instrument, long present, double[] values) throws IOException;
  }

  /**
   * Shows the rows of a payload.
   *
   * @param all by instrument, the mask of a frame that has every channel
   * @throws IllegalArgumentException when the payload does not fit; rows before that were shown
   */
  static void read(ByteBuffer in, long[] all, Shown shown) throws IOException {
    long moment = in.getLong(8);
    int count = in.getInt(16);
    in.position(in.position() + HEAD);
    double[] values = new double[Long.SIZE];
    try {
      for (int i = 0; i < count; i++) {
        long zigzag = varint(in);
        moment += (zigzag >>> 1) ^ -(zigzag & 1);
        long instrument = varint(in);
        int index = (int) (instrument >>> 1);
        if (instrument < 0 || instrument >>> 1 >= all.length) {
          throw new IllegalArgumentException("a row names an instrument that is not in the header");
        }
        long present = (instrument & 1) == 0 ? all[index] : varint(in);
        if ((present & ~all[index]) != 0) {
          throw new IllegalArgumentException("a row has a channel that is not in the header");
        }
        for (long left = present; left != 0; left &= left - 1) {
          values[Long.numberOfTrailingZeros(left)] = Double.longBitsToDouble(in.getLong());
        }
        shown.row(moment, index, present, values);
      }
    } catch (BufferUnderflowException e) {
      throw new IllegalArgumentException("rows end before their count", e);
    }
  }

  private static long varint(ByteBuffer in) {
    long value = 0;
    for (int shift = 0; shift < 64; shift += 7) {
      byte b = in.get();
      value |= (long) (b & 0x7f) << shift;
      if (b >= 0) {
        return value;
      }
    }
    throw new IllegalArgumentException("a number in a row is too long");
  }
}
