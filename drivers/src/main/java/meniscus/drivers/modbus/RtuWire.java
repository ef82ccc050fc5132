package meniscus.drivers.modbus;

import java.nio.ByteBuffer;
import java.util.Arrays;
import meniscus.core.instrument.Request;
import meniscus.drivers.sheet.Checksum;

/**
 *
 *
 * <pre>answer = unit function count data… crc-low crc-high, or unit function|80 code crc crc</pre>
 *
 * Told by what was asked, length and checksum, never by silence: computers cannot see 1.75 ms of
 * it. Bytes before a sound answer are given up one by one until one fits.
 */
final class RtuWire implements ModbusWire {

  private static final Checksum CRC = Checksum.named("CRC-16/MODBUS");
  private static final int EXCEPTION_LENGTH = 5;
  private static final int LONGEST = 256;

  private final byte[] frame = new byte[LONGEST];
  private int length;
  private final byte[] done = new byte[LONGEST];
  private int doneFrom;
  private int doneTo;

  @Override
  public Request wrap(RegisterRead read) {
    byte[] question = read.question();
    long crc = CRC.of(question, 0, question.length);
    byte[] whole = Arrays.copyOf(question, question.length + 2);
    whole[question.length] = (byte) crc;
    whole[question.length + 1] = (byte) (crc >> 8);
    return Request.of(whole);
  }

  @Override
  public void opened() {
    reset();
  }

  @Override
  public void reset() {
    length = 0;
  }

  @Override
  public Answer accept(byte b, RegisterRead awaited) {
    frame[length++] = b;
    for (int from = 0; from <= length - EXCEPTION_LENGTH; from++) {
      Answer found = at(from, awaited);
      if (found != Answer.INCOMPLETE) {
        remember(from, length);
        return found;
      }
    }
    if (length == LONGEST) {
      remember(0, LONGEST);
      return Answer.DAMAGED;
    }
    return Answer.INCOMPLETE;
  }

  private Answer at(int from, RegisterRead awaited) {
    if ((frame[from] & 0xff) != awaited.unit()) {
      return Answer.INCOMPLETE;
    }
    int function = frame[from + 1] & 0xff;
    int have = length - from;
    boolean registers =
        function == awaited.function()
            && (frame[from + 2] & 0xff) == 2 * awaited.count()
            && have == 2 * awaited.count() + EXCEPTION_LENGTH;
    boolean exception = function == (awaited.function() | 0x80) && have == EXCEPTION_LENGTH;
    if (!registers && !exception || !isSound(from)) {
      return Answer.INCOMPLETE;
    }
    return registers ? Answer.REGISTERS : Answer.EXCEPTION;
  }

  private boolean isSound(int from) {
    long sent = frame[length - 2] & 0xff | (frame[length - 1] & 0xff) << 8;
    return CRC.of(frame, from, length - 2) == sent;
  }

  private void remember(int from, int to) {
    System.arraycopy(frame, 0, done, 0, to);
    doneFrom = from;
    doneTo = to;
    length = 0;
  }

  @Override
  public ByteBuffer seen() {
    return length > 0
        ? ByteBuffer.wrap(frame, 0, length)
        : ByteBuffer.wrap(done, doneFrom, doneTo - doneFrom);
  }

  @Override
  public ByteBuffer before() {
    return ByteBuffer.wrap(done, 0, doneFrom);
  }

  @Override
  public byte[] bytes() {
    return done;
  }

  @Override
  public int dataFrom() {
    return doneFrom + (done[doneFrom + 1] < 0 ? 2 : 3);
  }
}
