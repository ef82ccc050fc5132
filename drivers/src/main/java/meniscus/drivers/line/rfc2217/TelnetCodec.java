package meniscus.drivers.line.rfc2217;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.util.Arrays;

/**
 * Takes Telnet commands out of a stream of bytes, and puts data into one (RFC 854, RFC 855). A pure
 * state machine: the stream may be cut anywhere.
 */
final class TelnetCodec {

  static final int IAC = 255;
  static final int DONT = 254;
  static final int DO = 253;
  static final int WONT = 252;
  static final int WILL = 251;
  static final int SB = 250;
  static final int SE = 240;

  /** More than any subnegotiation of RFC 2217 needs; the rest of a longer one is passed over. */
  private static final int LONGEST_SUBNEGOTIATION = 256;

  /** Is told the commands in the stream. */
  interface Commands {

    /**
     * An option is asked for, offered or refused.
     *
     * @param verb {@link #WILL}, {@link #WONT}, {@link #DO} or {@link #DONT}
     */
    void option(int verb, int option);

    /**
     * A subnegotiation.
     *
     * @param content without the option's number, doubled IACs made one
     */
    void subnegotiation(int option, byte[] content);
  }

  private enum State {
    DATA,
    AFTER_CR,
    AFTER_IAC,
    AFTER_VERB,
    INSIDE,
    INSIDE_AFTER_IAC
  }

  private final Commands commands;
  private final ByteArrayOutputStream inside = new ByteArrayOutputStream();
  private State state = State.DATA;
  private int verb;
  private boolean binary;

  TelnetCodec(Commands commands) {
    this.commands = commands;
  }

  /**
   * From here on the far end sends plain bytes: a carriage return has no NUL after it (RFC 856).
   */
  void receivesBinary() {
    binary = true;
  }

  /**
   * Takes all bytes of a buffer.
   *
   * @param data gets what is data; has room for as many bytes as come in
   */
  void decode(ByteBuffer in, ByteBuffer data) {
    while (in.hasRemaining()) {
      decode(in.get() & 0xff, data);
    }
  }

  private void decode(int b, ByteBuffer data) {
    switch (state) {
      case DATA -> data(b, data);
      case AFTER_CR -> {
        state = State.DATA;
        if (b != 0) {
          data(b, data);
        }
      }
      case AFTER_IAC -> command(b, data);
      case AFTER_VERB -> {
        state = State.DATA;
        commands.option(verb, b);
      }
      case INSIDE -> {
        if (b == IAC) {
          state = State.INSIDE_AFTER_IAC;
        } else {
          inside(b);
        }
      }
      case INSIDE_AFTER_IAC -> {
        if (b == IAC) {
          state = State.INSIDE;
          inside(b);
        } else {
          // SE, or a far end that forgot it: either way the subnegotiation is over.
          state = State.DATA;
          subnegotiated();
          if (b != SE) {
            command(b, data);
          }
        }
      }
    }
  }

  private void data(int b, ByteBuffer data) {
    if (b == IAC) {
      state = State.AFTER_IAC;
      return;
    }
    data.put((byte) b);
    if (b == '\r' && !binary) {
      state = State.AFTER_CR;
    }
  }

  private void command(int b, ByteBuffer data) {
    state = State.DATA;
    switch (b) {
      case IAC -> data.put((byte) IAC);
      case WILL, WONT, DO, DONT -> {
        verb = b;
        state = State.AFTER_VERB;
      }
      case SB -> {
        inside.reset();
        state = State.INSIDE;
      }
      default -> {
        // A command without an argument, as "no operation" and "are you there": nothing to do.
      }
    }
  }

  private void inside(int b) {
    if (inside.size() < LONGEST_SUBNEGOTIATION) {
      inside.write(b);
    }
  }

  private void subnegotiated() {
    byte[] all = inside.toByteArray();
    if (all.length > 0) {
      commands.subnegotiation(all[0] & 0xff, Arrays.copyOfRange(all, 1, all.length));
    }
  }

  /**
   * Data as it goes into the stream: IAC doubled.
   *
   * @param plain false when the far end did not agree to plain bytes: then a NUL follows each
   *     carriage return that no line feed follows
   */
  static ByteBuffer encode(ByteBuffer data, boolean plain) {
    ByteBuffer out = ByteBuffer.allocate(2 * data.remaining());
    while (data.hasRemaining()) {
      byte b = data.get();
      out.put(b);
      if ((b & 0xff) == IAC) {
        out.put(b);
      } else if (b == '\r'
          && !plain
          && !(data.hasRemaining() && data.get(data.position()) == '\n')) {
        out.put((byte) 0);
      }
    }
    return out.flip();
  }

  static byte[] optionCommand(int verb, int option) {
    return new byte[] {(byte) IAC, (byte) verb, (byte) option};
  }

  static byte[] subnegotiation(int option, byte... content) {
    ByteBuffer doubled = encode(ByteBuffer.wrap(content), true);
    ByteBuffer out = ByteBuffer.allocate(doubled.remaining() + 5);
    out.put((byte) IAC).put((byte) SB).put((byte) option);
    out.put(doubled).put((byte) IAC).put((byte) SE);
    return Arrays.copyOf(out.array(), out.position());
  }
}
