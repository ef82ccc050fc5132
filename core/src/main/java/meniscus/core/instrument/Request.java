package meniscus.core.instrument;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;

/** Bytes to send to the instrument. Immutable. */
public final class Request {

  private final byte[] bytes;

  private Request(byte[] bytes) {
    this.bytes = bytes;
  }

  public static Request of(byte... bytes) {
    return new Request(bytes.clone());
  }

  /** Text in ISO 8859-1, one byte a character. */
  public static Request ofText(String text) {
    return new Request(text.getBytes(StandardCharsets.ISO_8859_1));
  }

  /** A read-only view, from first to last byte. */
  public ByteBuffer bytes() {
    return ByteBuffer.wrap(bytes).asReadOnlyBuffer();
  }

  public int length() {
    return bytes.length;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Request request && java.util.Arrays.equals(bytes, request.bytes);
  }

  @Override
  public int hashCode() {
    return java.util.Arrays.hashCode(bytes);
  }

  @Override
  public String toString() {
    return Printable.text(bytes());
  }
}
