package meniscus.drivers.line.rfc2217;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineLost;

/** Telnet taken off a connection, once both ends have agreed; plain bytes where they did not. */
final class Rfc2217Line implements Line {

  /** Longer than a slow server on a bad network takes. */
  private static final long PATIENCE_NANOS = TimeUnit.SECONDS.toNanos(3);

  private final Line connection;
  private final Negotiation agreed;
  private final TelnetCodec codec;
  private final Optional<String> remark;
  private final ByteBuffer raw = ByteBuffer.allocate(8192);
  private ByteBuffer ahead;

  private Rfc2217Line(
      Line connection,
      Negotiation agreed,
      TelnetCodec codec,
      Optional<String> remark,
      byte[] ahead) {
    this.connection = connection;
    this.agreed = agreed;
    this.codec = codec;
    this.remark = remark;
    this.ahead = ByteBuffer.wrap(ahead);
  }

  /**
   * Agrees with the far end on how its port is set.
   *
   * @throws LineLost when it sets the port otherwise, or the connection breaks
   */
  static Rfc2217Line negotiated(String name, Line connection, PortSettings wanted) throws LineLost {
    Negotiation negotiation = new Negotiation(wanted);
    TelnetCodec codec = new TelnetCodec(negotiation);
    ByteArrayOutputStream asItCame = new ByteArrayOutputStream();
    ByteArrayOutputStream data = new ByteArrayOutputStream();
    ByteBuffer in = ByteBuffer.allocate(1024);
    ByteBuffer out = ByteBuffer.allocate(1024);
    long until = System.nanoTime() + PATIENCE_NANOS;
    while (!negotiation.isOver() && System.nanoTime() - until < 0) {
      send(connection, negotiation);
      connection.read(in.clear(), LONGEST_WAIT_MS);
      asItCame.write(in.array(), 0, in.position());
      codec.decode(in.flip(), out.clear());
      if (negotiation.receivesBinary()) {
        codec.receivesBinary();
      }
      data.write(out.array(), 0, out.position());
    }
    send(connection, negotiation);
    if (!negotiation.refused().isEmpty()) {
      throw new LineLost(
          "the serial server at "
              + name
              + " cannot set its port as asked: "
              + String.join("; ", negotiation.refused()));
    }
    return new Rfc2217Line(
        connection,
        negotiation,
        codec,
        negotiation.trouble().map(trouble -> "the serial server at " + name + " " + trouble),
        negotiation.speaksTelnet() ? data.toByteArray() : asItCame.toByteArray());
  }

  private static void send(Line connection, Negotiation negotiation) throws LineLost {
    byte[] bytes = negotiation.toSend();
    if (bytes.length > 0) {
      connection.write(ByteBuffer.wrap(bytes));
    }
  }

  @Override
  public Optional<String> remark() {
    return remark;
  }

  @Override
  public int read(ByteBuffer into, int waitMs) throws LineLost {
    if (ahead.hasRemaining()) {
      int count = Math.min(into.remaining(), ahead.remaining());
      into.put(ahead.slice(ahead.position(), count));
      ahead.position(ahead.position() + count);
      return count;
    }
    if (!agreed.speaksTelnet()) {
      return connection.read(into, waitMs);
    }
    raw.clear().limit(Math.min(raw.capacity(), into.remaining()));
    if (connection.read(raw, waitMs) == ENDED) {
      return ENDED;
    }
    int before = into.position();
    codec.decode(raw.flip(), into);
    send(connection, agreed);
    return into.position() - before;
  }

  @Override
  public void write(ByteBuffer bytes) throws LineLost {
    connection.write(
        agreed.speaksTelnet() ? TelnetCodec.encode(bytes, agreed.sendsBinary()) : bytes);
  }

  @Override
  public void close() {
    connection.close();
  }
}
