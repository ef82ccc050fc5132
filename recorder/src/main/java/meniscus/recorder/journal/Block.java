package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.zip.CRC32C;
import meniscus.recorder.disk.Disk;

/**
 * The frame around each piece of a journal, big-endian:
 *
 * <pre>
 *  0  4  magic 8D 4D 4A 0A
 *  4  4  journal, drawn at random when the journal is made
 *  8  8  sequence, 0 for the first, then one more each
 * 16  1  type
 * 17  4  length of the payload, at most 1 MiB
 * 21  4  CRC32C of the payload
 * 25  4  CRC32C of bytes 0 to 24
 * 29     payload
 * </pre>
 *
 * <p>The head has its own checksum, so that a damaged payload is stepped over by its length and
 * never searched for blocks, and a reader's work grows with the file, whatever is in it. The
 * journal's number keeps out remains of an older file that the disk may leave after a power cut.
 *
 * @param journal number of the journal
 * @param sequence of the block
 * @param type see {@link Type}
 * @param length of the payload
 * @param payloadCrc of the payload
 */
record Block(int journal, long sequence, int type, int length, int payloadCrc) {

  static final int MAGIC = 0x8D4D4A0A;
  static final int HEAD = 29;
  static final int LARGEST = 1 << 20;

  /** What a payload holds. A number, once used, never means anything else. */
  static final class Type {
    static final int HEADER = 1;
    static final int FILE = 2;
    static final int ROWS = 3;
    static final int EVENT = 4;
    static final int KEPT = 5;

    private Type() {}
  }

  static byte[] encode(int journal, long sequence, int type, byte[] payload) {
    if (payload.length > LARGEST) {
      throw new IllegalArgumentException(
          "a journal block holds at most 1 MiB, not " + payload.length + " bytes");
    }
    ByteBuffer block = ByteBuffer.allocate(HEAD + payload.length);
    block.putInt(MAGIC).putInt(journal).putLong(sequence).put((byte) type).putInt(payload.length);
    block.putInt(crc(ByteBuffer.wrap(payload)));
    block.putInt(crc(block.duplicate().flip()));
    return block.put(payload).array();
  }

  /**
   * Reads a head from a buffer's position, which does not move.
   *
   * @return null when there is none
   */
  static Block headAt(ByteBuffer buffer) {
    int at = buffer.position();
    if (buffer.remaining() < HEAD || buffer.getInt(at) != MAGIC) {
      return null;
    }
    int length = buffer.getInt(at + 17);
    boolean whole = crc(buffer.duplicate().limit(at + 25)) == buffer.getInt(at + 25);
    if (!whole || length < 0 || length > LARGEST) {
      return null;
    }
    return new Block(
        buffer.getInt(at + 4),
        buffer.getLong(at + 8),
        buffer.get(at + 16),
        length,
        buffer.getInt(at + 21));
  }

  /** False when a file is seen to begin with another journal; a damaged start proves nothing. */
  static boolean startsWith(Disk.OpenFile file, int journal) throws IOException {
    ByteBuffer head = ByteBuffer.allocate(HEAD);
    file.read(0, head);
    Block block = headAt(head.flip());
    return block == null || block.journal == journal;
  }

  int total() {
    return HEAD + length;
  }

  static int crc(ByteBuffer bytes) {
    CRC32C crc = new CRC32C();
    crc.update(bytes);
    return (int) crc.getValue();
  }
}
