package meniscus.recorder.folder;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.List;

/** Writes a table of numbers, row after row; numbers need no quoting. */
final class NumberRows {

  /** Written in pieces of about this many letters: our own choice, a few hundred rows. */
  private static final int PIECE = 1 << 14;

  private final OutputStream out;
  private final StringBuilder line = new StringBuilder();
  private long rows;

  NumberRows(OutputStream out, List<String> heading) throws IOException {
    this.out = out;
    line.append(String.join(",", heading)).append('\n');
    flush();
  }

  NumberRows number(long value) {
    line.append(value);
    return this;
  }

  /** Goes on to the cell that many further. */
  NumberRows skip(int cells) {
    line.append(",".repeat(cells));
    return this;
  }

  /** A cell each; empty where the frame has none. */
  NumberRows values(int channels, long present, double[] values) {
    for (int c = 0; c < channels; c++) {
      line.append(',');
      if ((present >> c & 1) != 0) {
        line.append(Cell.number(values[c]));
      }
    }
    return this;
  }

  void end() throws IOException {
    line.append('\n');
    rows++;
    if (line.length() > PIECE) {
      flush();
    }
  }

  long rows() {
    return rows;
  }

  void flush() throws IOException {
    out.write(line.toString().getBytes(StandardCharsets.US_ASCII));
    line.setLength(0);
  }
}
