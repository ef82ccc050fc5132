package meniscus.recorder.journal;

import java.nio.ByteBuffer;
import java.util.Map;
import java.util.TreeMap;

/**
 * The end of a journal, in memory: rows on their way into a block, and every byte that is not yet
 * forced onto the first disk. Also the monitor that all threads of a journal share; every method is
 * called while holding it.
 */
final class Unforced {

  private final int journal;
  private final RowBuffer rowBuffer = new RowBuffer();
  private final TreeMap<Long, byte[]> blocks = new TreeMap<>();
  private long start;
  private long end;
  private long sequence;
  private long rows;
  private long rowsSince;
  private long forceWanted;
  private boolean closing;

  Unforced(int journal, long end, long sequence, long rows) {
    this.journal = journal;
    this.start = end;
    this.end = end;
    this.sequence = sequence;
    this.rows = rows;
  }

  void row(long moment, int instrument, long present, long all, double[] values) {
    if (rowBuffer.isEmpty()) {
      rowsSince = System.nanoTime();
    }
    rowBuffer.add(rows, moment, instrument, present, all, values);
    rows++;
    if (rowBuffer.isFull()) {
      sealRows();
    }
  }

  long rows() {
    return rows;
  }

  /** Closes the block of rows. */
  void sealRows() {
    if (!rowBuffer.isEmpty()) {
      append(Block.Type.ROWS, rowBuffer.take());
    }
  }

  void sealRowsOlderThan(long nanos) {
    if (!rowBuffer.isEmpty() && System.nanoTime() - rowsSince >= nanos) {
      sealRows();
    }
  }

  /**
   * @return where the block ends in the journal
   */
  long append(int type, byte[] payload) {
    byte[] block = Block.encode(journal, sequence, type, payload);
    sequence++;
    blocks.put(end, block);
    end += block.length;
    notifyAll();
    return end;
  }

  int journal() {
    return journal;
  }

  long start() {
    return start;
  }

  long end() {
    return end;
  }

  /** Bytes from a place within the tail to the end of the block that holds it. */
  ByteBuffer from(long position) {
    Map.Entry<Long, byte[]> block = blocks.floorEntry(position);
    int skip = (int) (position - block.getKey());
    return ByteBuffer.wrap(block.getValue()).position(skip);
  }

  /** Lets go of all blocks that end at or before a place. */
  void forget(long upTo) {
    while (!blocks.isEmpty() && start + blocks.firstEntry().getValue().length <= upTo) {
      start += blocks.pollFirstEntry().getValue().length;
    }
  }

  long waiting() {
    return end - start + rowBuffer.size();
  }

  void wantForce(long upTo) {
    forceWanted = Math.max(forceWanted, upTo);
    notifyAll();
  }

  long forceWanted() {
    return forceWanted;
  }

  void closing() {
    closing = true;
    notifyAll();
  }

  boolean isClosing() {
    return closing;
  }
}
