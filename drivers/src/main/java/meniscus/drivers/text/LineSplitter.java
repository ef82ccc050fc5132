package meniscus.drivers.text;

import java.nio.ByteBuffer;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;

/**
 * Cuts a stream of bytes into lines of bounded length, the same whatever the chunks. Keeps one
 * line, makes no object for it.
 */
final class LineSplitter {

  /** Takes complete lines. */
  interface Taker {
    /**
     * One line without its end.
     *
     * @param line borrowed for the call only
     */
    void line(Moment at, byte[] line, int length, Sink sink);
  }

  private final byte[] terminator;
  private final int longest;
  private final byte[] line;
  private int length;
  private boolean skipping;

  /**
   * @param terminator what ends a line; empty: CR, LF, or both
   * @param longest longer lines are rejected [bytes]
   */
  LineSplitter(byte[] terminator, int longest) {
    this.terminator = terminator.clone();
    this.longest = longest;
    this.line = new byte[longest + Math.max(1, terminator.length)];
  }

  /** Drops what there is of a line. */
  void reset() {
    length = 0;
    skipping = false;
  }

  /** Drops what there is of a line, and all that comes until the next end of a line. */
  void skipToEnd() {
    length = 0;
    skipping = true;
  }

  /** Whether part of a line has come. */
  boolean isPartial() {
    return length > 0 || skipping;
  }

  void accept(Moment at, ByteBuffer bytes, Sink sink, Taker taker) {
    while (bytes.hasRemaining()) {
      line[length++] = bytes.get();
      if (endsHere()) {
        end(at, sink, taker);
      } else if (length == line.length) {
        tooLong(at, sink);
      }
    }
  }

  private boolean endsHere() {
    byte last = line[length - 1];
    if (terminator.length == 0) {
      return last == '\n' || last == '\r';
    }
    if (last != terminator[terminator.length - 1] || length < terminator.length) {
      return false;
    }
    for (int i = 2; i <= terminator.length; i++) {
      if (line[length - i] != terminator[terminator.length - i]) {
        return false;
      }
    }
    return true;
  }

  private void end(Moment at, Sink sink, Taker taker) {
    int lineLength = length - Math.max(1, terminator.length);
    boolean wasSkipping = skipping;
    reset();
    if (!wasSkipping) {
      taker.line(at, line, lineLength, sink);
    }
  }

  private void tooLong(Moment at, Sink sink) {
    if (!skipping) {
      sink.rejected(
          new Rejected(
              at,
              Printable.text(ByteBuffer.wrap(line, 0, length)),
              "no end of line within " + longest + " bytes"));
    }
    skipping = true;
    // The end may be cut by this very place.
    int keep = Math.max(0, terminator.length - 1);
    System.arraycopy(line, length - keep, line, 0, keep);
    length = keep;
  }
}
