package meniscus.drivers.binary;

/**
 * Takes a framed stream apart, byte by byte, into packets of bounded length.
 *
 * <p>COBS (consistent overhead byte stuffing): S. Cheshire and M. Baker, IEEE/ACM Transactions on
 * Networking 7 (1999) 159. SLIP: RFC 1055.
 */
abstract class Unframing {

  /** What a byte made complete. */
  enum Found {
    NOTHING,
    PACKET,
    DAMAGED
  }

  final byte[] packet;
  int length;
  private boolean skipping;
  private boolean complete;

  /**
   * @param longest longest packet [bytes]
   */
  Unframing(int longest) {
    packet = new byte[longest];
  }

  /** Begins anew; {@code skip}: what comes before the next end of a frame is not to be trusted. */
  void reset(boolean skip) {
    length = 0;
    skipping = skip;
    begin();
  }

  /** Puts in one byte. A packet, if one is told, is there until the next byte is put in. */
  final Found accept(byte b) {
    if (complete) {
      complete = false;
      length = 0;
    }
    if (isEnd(b)) {
      boolean trusted = !skipping;
      boolean whole = isWhole();
      skipping = false;
      complete = true;
      begin();
      if (!trusted || length == 0 && whole) {
        return Found.NOTHING;
      }
      return whole ? Found.PACKET : Found.DAMAGED;
    }
    if (skipping) {
      return Found.NOTHING;
    }
    if (!take(b)) {
      skipping = true;
      complete = true;
      return Found.DAMAGED;
    }
    return Found.NOTHING;
  }

  /** Adds a byte to the packet; false when it has grown too long. */
  final boolean put(byte b) {
    if (length == packet.length) {
      return false;
    }
    packet[length++] = b;
    return true;
  }

  /** A new frame begins. */
  abstract void begin();

  abstract boolean isEnd(byte b);

  /** Whether the frame that ends here is sound as far as its framing goes. */
  abstract boolean isWhole();

  /** Takes a byte that is not an end; false when the packet is too long or the byte cannot be. */
  abstract boolean take(byte b);

  /** Ends in a zero byte; each block begins with the distance to the next zero. */
  static final class Cobs extends Unframing {
    private int left;
    private boolean zeroFollows;

    Cobs(int longest) {
      super(longest);
    }

    @Override
    void begin() {
      left = 0;
      zeroFollows = false;
    }

    @Override
    boolean isEnd(byte b) {
      return b == 0;
    }

    @Override
    boolean isWhole() {
      return left == 0;
    }

    @Override
    boolean take(byte b) {
      if (left > 0) {
        left--;
        return put(b);
      }
      boolean room = !zeroFollows || put((byte) 0);
      left = (b & 0xff) - 1;
      // A block of the greatest length is not followed by a zero.
      zeroFollows = left < 254;
      return room;
    }
  }

  /** Ends in C0; DB DC stands for C0, DB DD for DB. */
  static final class Slip extends Unframing {
    private static final byte END = (byte) 0xc0;
    private static final byte ESCAPE = (byte) 0xdb;
    private static final byte ESCAPED_END = (byte) 0xdc;
    private static final byte ESCAPED_ESCAPE = (byte) 0xdd;

    private boolean escaped;

    Slip(int longest) {
      super(longest);
    }

    @Override
    void begin() {
      escaped = false;
    }

    @Override
    boolean isEnd(byte b) {
      return b == END;
    }

    @Override
    boolean isWhole() {
      return !escaped;
    }

    @Override
    boolean take(byte b) {
      if (!escaped) {
        escaped = b == ESCAPE;
        return escaped || put(b);
      }
      escaped = false;
      return b == ESCAPED_END && put(END) || b == ESCAPED_ESCAPE && put(ESCAPE);
    }
  }
}
