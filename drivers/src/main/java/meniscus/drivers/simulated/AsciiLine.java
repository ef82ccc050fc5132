package meniscus.drivers.simulated;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;

/** One line of an instrument, as it goes over the wire. */
final class AsciiLine {

  private static final byte[] DIGITS = "0123456789ABCDEF".getBytes(StandardCharsets.US_ASCII);

  private final byte[] bytes = new byte[96];
  private int length;

  AsciiLine text(String text) {
    for (int i = 0; i < text.length(); i++) {
      bytes[length++] = (byte) text.charAt(i);
    }
    return this;
  }

  /** A rounded number with a fixed number of decimals; a plus sign when asked for. */
  AsciiLine number(double value, int decimals, boolean plus) {
    long scale = 1;
    for (int i = 0; i < decimals; i++) {
      scale *= 10;
    }
    long scaled = Math.round(Math.abs(value) * scale);
    if (value < 0) {
      text("-");
    } else if (plus) {
      text("+");
    }
    text(Long.toString(scaled / scale)).text(".");
    for (long unit = scale / 10; unit > 0; unit /= 10) {
      bytes[length++] = DIGITS[(int) (scaled / unit % 10)];
    }
    return this;
  }

  /** Exclusive or of all bytes so far. */
  int xor() {
    int check = 0;
    for (int i = 0; i < length; i++) {
      check ^= bytes[i];
    }
    return check;
  }

  /** CRC-16/XMODEM of all bytes so far: polynomial 0x1021, start 0, most significant bit first. */
  int crc() {
    int crc = 0;
    for (int i = 0; i < length; i++) {
      crc ^= bytes[i] << 8;
      for (int bit = 0; bit < 8; bit++) {
        crc = (crc & 0x8000) == 0 ? crc << 1 : crc << 1 ^ 0x1021;
      }
    }
    return crc & 0xffff;
  }

  AsciiLine hex(int value, int digits) {
    for (int shift = 4 * (digits - 1); shift >= 0; shift -= 4) {
      bytes[length++] = DIGITS[value >> shift & 0xf];
    }
    return this;
  }

  /** The bytes; the line is empty again. */
  byte[] take() {
    byte[] taken = Arrays.copyOf(bytes, length);
    length = 0;
    return taken;
  }
}
