package meniscus.drivers.text;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import java.util.function.IntSupplier;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.Checksum;
import meniscus.drivers.sheet.SheetJson;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * Damaged frames. What a checksum is bound to find (one byte; with 16 bits also two neighbouring
 * bytes, and any two bits) is never accepted wrong. Damage of any size can get past 8 or 16 bits by
 * chance; what is accepted then must be what an independent reading of the same bytes accepts.
 */
class DamagedLinesTest {

  private static final long SEED = 5150;
  private static final int FRAMES = 20_000;
  private static final int BENCH_FRAMES = 1_000_000;

  @Test
  void oneDamagedByteIsNeverReadWrongByExclusiveOr() {
    boundToBeFound("XOR", FRAMES, 1, 1);
  }

  @Test
  void aDamagedStretchOfTwoBytesIsNeverReadWrongBySixteenBits() {
    boundToBeFound("CRC-16/XMODEM", FRAMES, 2, 2);
  }

  @Test
  void anyDamageIsReadAsAnIndependentReadingReadsIt() {
    anyDamage(FRAMES);
  }

  @Test
  @Tag("bench")
  void aMillionDamagedFrames() {
    boundToBeFound("XOR", BENCH_FRAMES, 1, 1);
    boundToBeFound("CRC-16/XMODEM", BENCH_FRAMES, 2, 2);
    anyDamage(BENCH_FRAMES);
  }

  private static void boundToBeFound(String checksum, int frames, int most, int flips) {
    Random random = new Random(SEED);
    Counting heard = new Counting();
    Decoder decoder = new TextStreamDriver().newDecoder(manometer(checksum));
    decoder.opened(Moment.START);
    int harmless = 0;
    for (int i = 0; i < frames; i++) {
      double p = value(random);
      double q = value(random);
      String frame = frame(checksum, p, q);
      byte[] damaged = bytes(frame);
      int covered = frame.indexOf('*');
      if (random.nextBoolean()) {
        int length = 1 + random.nextInt(most);
        int from = random.nextInt(covered - length);
        for (int k = from; k < from + length; k++) {
          damaged[k] = (byte) random.nextInt(256);
        }
      } else {
        for (int k = 0; k < flips; k++) {
          int bit = random.nextInt(covered * 8);
          damaged[bit / 8] ^= (byte) (1 << bit % 8);
        }
      }
      boolean same = java.util.Arrays.equals(damaged, bytes(frame));
      harmless += same ? 1 : 0;
      int before = heard.frames;
      decoder.bytes(Moment.START, ByteBuffer.wrap(damaged), heard);
      decoder.bytes(Moment.START, ByteBuffer.wrap(bytes("\r\n")), heard);
      assertTrue(
          heard.frames == before || same,
          () -> "seed " + SEED + ": " + frame.strip() + " was read after damage");
    }
    assertEquals(harmless, heard.frames, "frames that the damage happened to leave as they were");
  }

  private static void anyDamage(int frames) {
    Random random = new Random(SEED);
    List<String> accepted = new ArrayList<>();
    Counting heard = new Counting();
    TextStreamDecoder decoder = new TextStreamDriver().newDecoder(manometer("XOR"));
    decoder.opened(Moment.START);
    StringBuilder stream = new StringBuilder();
    for (int i = 0; i < frames; i++) {
      stream.append(damaged(random, frame("XOR", value(random), value(random))));
      if (stream.length() > 4000 || i == frames - 1) {
        stream.append("\r\n");
        heard.said.clear();
        decoder.bytes(Moment.START, ByteBuffer.wrap(bytes(stream.toString())), heard);
        accepted.clear();
        for (String line : stream.toString().split("\r\n")) {
          independently(line, accepted);
        }
        assertEquals(accepted, heard.said, "seed " + SEED);
        stream.setLength(0);
      }
    }
    assertTrue(heard.rejected > frames / 4, "hardly anything was damaged");
    assertTrue(heard.frames > frames / 10, "hardly anything was left whole");
  }

  /** Reads a line with the Java library's own means, as the sheet and its document say. */
  private static void independently(String line, List<String> accepted) {
    Matcher parts = FIELDS.matcher(line);
    if (line.startsWith("#") || line.length() > 64 || !parts.matches()) {
      return;
    }
    IntSupplier xor = () -> parts.group(1).chars().reduce(0, (a, b) -> a ^ b);
    if (xor.getAsInt() != Integer.parseInt(parts.group(2), 16)) {
      return;
    }
    String loosened = parts.group(1).replaceAll("[ \t]*(,|^|$)[ \t]*", "$1");
    Matcher values = VALUES.matcher(loosened);
    if (values.matches() && !values.group(1).equals(values.group(3))) {
      boolean inOrder = values.group(1).equals("1");
      accepted.add("0=" + number(values.group(inOrder ? 2 : 4)));
      accepted.add("1=" + number(values.group(inOrder ? 4 : 2)));
    }
  }

  private static final String NUMBER = "[+-]? *(?:\\d+\\.?\\d*|\\.\\d+)(?:[eE][+-]?\\d{1,3})?";
  private static final Pattern VALUES =
      Pattern.compile("P([12]),(" + NUMBER + "|OVER),P([12]),(" + NUMBER + "|OVER)");
  private static final Pattern FIELDS = Pattern.compile("(.*)\\*([0-9A-Fa-f]{2})", Pattern.DOTALL);

  private static double number(String text) {
    return text.equals("OVER") ? Double.NaN : Double.parseDouble(text.replace(" ", ""));
  }

  private static String damaged(Random random, String frame) {
    StringBuilder text = new StringBuilder(frame);
    int times = random.nextInt(4);
    for (int i = 0; i < times; i++) {
      int at = random.nextInt(text.length());
      switch (random.nextInt(6)) {
        case 0 -> text.setCharAt(at, (char) random.nextInt(256));
        case 1 -> text.deleteCharAt(at);
        case 2 -> text.insert(at, (char) random.nextInt(256));
        case 3 -> text.setCharAt(at, (char) (text.charAt(at) ^ 1 << random.nextInt(8)));
        case 4 -> text.insert(at, text.charAt(random.nextInt(text.length())));
        default -> text.delete(at, Math.min(text.length(), at + random.nextInt(6)));
      }
      if (text.length() == 0) {
        break;
      }
    }
    return text.toString();
  }

  private static String frame(String checksum, double p, double q) {
    String covered = "P1," + signed(p) + ",P2," + signed(q);
    byte[] bytes = bytes(covered);
    long check = Checksum.named(checksum).of(bytes, 0, bytes.length);
    return covered + "*" + HEX.toHexDigits(check, checksum.equals("XOR") ? 2 : 4) + "\r\n";
  }

  private static final HexFormat HEX = HexFormat.of().withUpperCase();

  private static String signed(double value) {
    return (value < 0 ? "" : "+") + value;
  }

  private static double value(Random random) {
    return (random.nextInt(120_001) - 60_000) / 1000.0;
  }

  private static InstrumentSheet manometer(String checksum) {
    return SheetJson.sheet(
        "text-stream",
        "{'terminator': '\\r\\n', 'longest_line': 64, 'ignore': ['#'], 'separator': ',', 'fields': 4,"
            + "'checksum': {'kind': '"
            + checksum
            + "', 'mark': '*'}, 'channels': ["
            + "{'name': 'p', 'unit': 'inH2O', 'label': 'P1', 'overload': ['OVER']},"
            + "{'name': 'q', 'unit': 'inH2O', 'label': 'P2', 'overload': ['OVER']}]}");
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.ISO_8859_1);
  }

  private static final class Counting implements Sink {
    private final List<String> said = new ArrayList<>();
    private int frames;
    private int rejected;

    @Override
    public void reading(int channel, double value, Moment moment) {
      said.add(channel + "=" + value);
    }

    @Override
    public void frame(Moment moment) {
      frames++;
    }

    @Override
    public void rejected(Rejected what) {
      rejected++;
    }
  }
}
