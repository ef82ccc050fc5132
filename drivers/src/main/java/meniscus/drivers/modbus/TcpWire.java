package meniscus.drivers.modbus;

import java.nio.ByteBuffer;
import meniscus.core.instrument.Request;

/**
 *
 *
 * <pre>answer = transaction(2) 0(2) length(2) unit function count data…, or … function|80 code
 * </pre>
 *
 * Each question has a number of its own, so that a late answer is known for what it is.
 */
final class TcpWire implements ModbusWire {

  private static final int HEADER = 6;
  private static final int LONGEST = HEADER + 254;

  private final byte[] frame = new byte[LONGEST];
  private int length;
  private int seenLength;
  private int transaction;
  private boolean lostStep;

  @Override
  public Request wrap(RegisterRead read) {
    transaction = transaction + 1 & 0xffff;
    byte[] question = read.question();
    ByteBuffer whole = ByteBuffer.allocate(HEADER + question.length);
    whole.putShort((short) transaction).putShort((short) 0).putShort((short) question.length);
    whole.put(question);
    return Request.of(whole.array());
  }

  @Override
  public void opened() {
    // An answer cannot outlive its connection, so the numbers may begin anew.
    transaction = 0;
    reset();
  }

  @Override
  public void reset() {
    length = 0;
    lostStep = false;
  }

  @Override
  public Answer accept(byte b, RegisterRead awaited) {
    frame[length++] = b;
    if (lostStep) {
      // Without a beginning to hold on to, all is given up until the next question.
      return length == LONGEST ? complete(Answer.DAMAGED) : Answer.INCOMPLETE;
    }
    if (length < HEADER) {
      return Answer.INCOMPLETE;
    }
    int following = word(4);
    if (length == HEADER && (word(2) != 0 || following < 3 || following > LONGEST - HEADER)) {
      lostStep = true;
      return complete(Answer.DAMAGED);
    }
    return length < HEADER + following ? Answer.INCOMPLETE : complete(kind(following, awaited));
  }

  private Answer kind(int following, RegisterRead awaited) {
    int function = frame[HEADER + 1] & 0xff;
    if (word(0) != transaction || (frame[HEADER] & 0xff) != awaited.unit()) {
      return Answer.UNASKED;
    }
    if (function == (awaited.function() | 0x80) && following == 3) {
      return Answer.EXCEPTION;
    }
    boolean fits =
        function == awaited.function()
            && (frame[HEADER + 2] & 0xff) == 2 * awaited.count()
            && following == 3 + 2 * awaited.count();
    return fits ? Answer.REGISTERS : Answer.DAMAGED;
  }

  private Answer complete(Answer answer) {
    seenLength = length;
    length = 0;
    return answer;
  }

  private int word(int at) {
    return (frame[at] & 0xff) << 8 | frame[at + 1] & 0xff;
  }

  @Override
  public ByteBuffer seen() {
    return ByteBuffer.wrap(frame, 0, length > 0 ? length : seenLength);
  }

  @Override
  public ByteBuffer before() {
    return ByteBuffer.allocate(0);
  }

  @Override
  public byte[] bytes() {
    return frame;
  }

  @Override
  public int dataFrom() {
    return HEADER + (frame[HEADER + 1] < 0 ? 2 : 3);
  }
}
