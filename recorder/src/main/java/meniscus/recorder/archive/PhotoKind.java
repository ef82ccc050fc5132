package meniscus.recorder.archive;

import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.Optional;

/**
 * What a picture is, told by its bytes alone: a name or a type that came with it is not believed.
 */
public enum PhotoKind {
  JPEG(".jpg", "image/jpeg"),
  PNG(".png", "image/png");

  private static final byte[] JPEG_START = {(byte) 0xFF, (byte) 0xD8, (byte) 0xFF};
  private static final byte[] PNG_START = {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};

  // Four letters as one number: ISO/IEC 15948 (PNG), 5.3 and 11.2.
  private static final int IHDR = 0x49484452;
  private static final int IEND = 0x49454E44;

  // Markers of ISO/IEC 10918-1 (JPEG), table B.1.
  private static final int FIRST_FRAME = 0xC0;
  private static final int LAST_FRAME = 0xCF;
  private static final int SCAN = 0xDA;

  private final String ending;
  private final String type;

  PhotoKind(String ending, String type) {
    this.ending = ending;
    this.type = type;
  }

  /** Of a file's name: {@code .jpg}. */
  public String ending() {
    return ending;
  }

  /** As a browser is told. */
  public String type() {
    return type;
  }

  /** Empty for what is neither, or only begins like one. */
  public static Optional<PhotoKind> of(byte[] content) {
    if (begins(content, JPEG_START) && isJpeg(content)) {
      return Optional.of(JPEG);
    }
    return begins(content, PNG_START) && isPng(content) ? Optional.of(PNG) : Optional.empty();
  }

  private static boolean begins(byte[] content, byte[] start) {
    return content.length > start.length
        && Arrays.equals(Arrays.copyOf(content, start.length), start);
  }

  /** Chunk after chunk from the header to the end. */
  private static boolean isPng(byte[] content) {
    ByteBuffer chunks = ByteBuffer.wrap(content, PNG_START.length, content.length - 8);
    boolean first = true;
    while (chunks.remaining() >= 12) {
      int length = chunks.getInt();
      int name = chunks.getInt();
      if (first != (name == IHDR) || length < 0 || length > chunks.remaining() - 4) {
        return false;
      }
      if (name == IEND) {
        return length == 0;
      }
      first = false;
      chunks.position(chunks.position() + length + 4); // its check sum too
    }
    return false;
  }

  /** Segment after segment up to the scan, with a frame on the way. */
  private static boolean isJpeg(byte[] content) {
    ByteBuffer segments = ByteBuffer.wrap(content, 2, content.length - 2);
    boolean frame = false;
    while (segments.remaining() >= 4 && (segments.get() & 0xFF) == 0xFF) {
      int marker = segments.get() & 0xFF;
      int length = segments.getShort() & 0xFFFF;
      if (length < 2 || length - 2 > segments.remaining()) {
        return false;
      }
      if (marker == SCAN) {
        return frame;
      }
      // Of that row the tables of Huffman and arithmetic codes (C4, CC) and C8 are no frames.
      frame |=
          marker >= FIRST_FRAME && marker <= LAST_FRAME && (marker & 0x3) != 0
              || marker == FIRST_FRAME;
      segments.position(segments.position() + length - 2);
    }
    return false;
  }
}
