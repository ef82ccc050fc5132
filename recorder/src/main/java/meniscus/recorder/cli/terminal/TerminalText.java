package meniscus.recorder.cli.terminal;

import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.io.PrintStream;
import java.io.Reader;
import java.nio.charset.Charset;
import java.nio.charset.CharsetEncoder;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/**
 * Letters between the program and where its streams end. Data is UTF-8, whatever the platform's
 * charset is; only a terminal of Windows, whose windows often show an older page of letters and
 * hand on what is typed in it, is spoken to in that.
 *
 * @param charset of the terminal, else UTF-8
 */
public record TerminalText(Charset charset) {

  /** What stands for signs that we use and old pages lack. */
  private static final Map<Integer, String> PLAINER =
      Map.of(
          (int) '\u2212', "-", // minus
          (int) '\u2013', "-", // en dash
          (int) '\u2026', "...",
          (int) '\u2192', "->",
          (int) '\u00D7', "x",
          (int) '\u2265', ">=",
          (int) '\u2264', "<=",
          (int) '\u2248', "~",
          (int) '\u03C3', "sigma",
          (int) '\u221A', "root ");

  public static TerminalText here() {
    String system = System.getProperty("os.name", "");
    return of(system, isWindows(system) ? Console.terminal() : Optional.empty());
  }

  private static TerminalText of(String system, Optional<java.io.Console> terminal) {
    return forSystem(system, terminal.map(java.io.Console::charset));
  }

  /**
   * @param system as Java names it
   * @param terminal what the terminal shows; empty where there is none
   */
  static TerminalText forSystem(String system, Optional<Charset> terminal) {
    return new TerminalText(
        isWindows(system) ? terminal.orElse(StandardCharsets.UTF_8) : StandardCharsets.UTF_8);
  }

  private static boolean isWindows(String system) {
    return system.toLowerCase(Locale.ROOT).startsWith("windows");
  }

  private boolean isUtf8() {
    return charset.equals(StandardCharsets.UTF_8);
  }

  /** A stream to print on. */
  public PrintStream out(OutputStream to) {
    return isUtf8() ? new PrintStream(to, true, charset) : new Plainer(to, charset);
  }

  /** What is typed, as UTF-8. */
  public InputStream in(InputStream typed) {
    return isUtf8() ? typed : new AsUtf8(new InputStreamReader(typed, charset));
  }

  /** Prints what the charset lacks as something near. */
  private static final class Plainer extends PrintStream {

    private final CharsetEncoder encoder;

    Plainer(OutputStream to, Charset charset) {
      super(to, true, charset);
      encoder = charset.newEncoder();
    }

    @Override
    public void print(String text) {
      super.print(text == null ? null : plainer(text));
    }

    @Override
    public void println(String text) {
      super.println(text == null ? null : plainer(text));
    }

    private synchronized String plainer(String text) {
      if (encoder.canEncode(text)) {
        return text;
      }
      StringBuilder plain = new StringBuilder();
      text.codePoints()
          .forEach(
              sign -> {
                String letter = Character.toString(sign);
                plain.append(
                    encoder.canEncode(letter) ? letter : PLAINER.getOrDefault(sign, letter));
              });
      return plain.toString();
    }
  }

  /** Hands on what has been typed as soon as it is there. */
  private static final class AsUtf8 extends InputStream {

    private final Reader typed;
    private byte[] bytes = {};
    private int next;

    AsUtf8(Reader typed) {
      this.typed = typed;
    }

    @Override
    public int read() throws IOException {
      byte[] one = new byte[1];
      return read(one, 0, 1) < 0 ? -1 : one[0] & 0xFF;
    }

    @Override
    public int read(byte[] into, int from, int most) throws IOException {
      if (most == 0) {
        return 0;
      }
      while (next == bytes.length) {
        char[] letters = new char[1024];
        int count = typed.read(letters);
        if (count < 0) {
          return -1;
        }
        bytes = new String(letters, 0, count).getBytes(StandardCharsets.UTF_8);
        next = 0;
      }
      int count = Math.min(most, bytes.length - next);
      System.arraycopy(bytes, next, into, from, count);
      next += count;
      return count;
    }

    @Override
    public int available() {
      return bytes.length - next;
    }
  }
}
