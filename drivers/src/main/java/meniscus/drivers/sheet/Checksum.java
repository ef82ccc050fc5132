package meniscus.drivers.sheet;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import meniscus.core.refusal.Refusal;

/**
 * A number computed over bytes, by which damage on the way is noticed.
 *
 * <p>Names and parameters of the cyclic redundancy checks: G. Cook, Catalogue of parametrised CRC
 * algorithms (CRC RevEng). {@code XOR} is the exclusive or of all bytes, {@code SUM-8} their sum
 * modulo 256.
 */
public final class Checksum {

  private static final Map<String, Checksum> BY_NAME = new LinkedHashMap<>();

  static {
    add(new Checksum("XOR", 8, (bytes, from, to) -> xor(bytes, from, to)));
    add(new Checksum("SUM-8", 8, (bytes, from, to) -> sum(bytes, from, to)));
    crc("CRC-8/SMBUS", 8, 0x07, 0, false, 0);
    crc("CRC-8/MAXIM-DOW", 8, 0x31, 0, true, 0);
    crc("CRC-16/ARC", 16, 0x8005, 0, true, 0);
    crc("CRC-16/MODBUS", 16, 0x8005, 0xffff, true, 0);
    crc("CRC-16/XMODEM", 16, 0x1021, 0, false, 0);
    crc("CRC-16/IBM-3740", 16, 0x1021, 0xffff, false, 0);
    crc("CRC-16/KERMIT", 16, 0x1021, 0, true, 0);
    crc("CRC-16/IBM-SDLC", 16, 0x1021, 0xffff, true, 0xffff);
    crc("CRC-32/ISO-HDLC", 32, 0x04c11db7, 0xffffffff, true, 0xffffffff);
  }

  private final String name;
  private final int bits;
  private final Algorithm algorithm;

  private interface Algorithm {
    int of(byte[] bytes, int from, int to);
  }

  private Checksum(String name, int bits, Algorithm algorithm) {
    this.name = name;
    this.bits = bits;
    this.algorithm = algorithm;
  }

  /**
   * The checksum of a name.
   *
   * @throws Refusal naming the known ones
   */
  public static Checksum named(String name) {
    Checksum checksum = BY_NAME.get(name);
    if (checksum == null) {
      throw new Refusal(
          "no checksum \"" + name + "\" is known; there are: " + String.join(", ", names()));
    }
    return checksum;
  }

  /** All names. */
  public static Set<String> names() {
    return BY_NAME.keySet();
  }

  /** Length of the number: 8, 16 or 32. */
  public int bits() {
    return bits;
  }

  /** The number over {@code bytes[from … to − 1]}, from 0 to 2^bits − 1. */
  public long of(byte[] bytes, int from, int to) {
    return Integer.toUnsignedLong(algorithm.of(bytes, from, to));
  }

  private static void add(Checksum checksum) {
    BY_NAME.put(checksum.name, checksum);
  }

  private static void crc(
      String name, int bits, int polynomial, int initial, boolean reflected, int finalXor) {
    add(
        new Checksum(
            name,
            bits,
            reflected
                ? reflected(bits, polynomial, initial, finalXor)
                : plain(bits, polynomial, initial, finalXor)));
  }

  /** Least significant bit first; the register stands at the right end. */
  private static Algorithm reflected(int bits, int polynomial, int initial, int finalXor) {
    int turned = Integer.reverse(polynomial) >>> 32 - bits;
    int[] table = new int[256];
    for (int i = 0; i < 256; i++) {
      int register = i;
      for (int bit = 0; bit < 8; bit++) {
        register = (register & 1) != 0 ? register >>> 1 ^ turned : register >>> 1;
      }
      table[i] = register;
    }
    return (bytes, from, to) -> {
      int register = initial;
      for (int i = from; i < to; i++) {
        register = register >>> 8 ^ table[(register ^ bytes[i]) & 0xff];
      }
      return register ^ finalXor;
    };
  }

  /** Most significant bit first; the register stands at the left end of 32 bits. */
  private static Algorithm plain(int bits, int polynomial, int initial, int finalXor) {
    int up = 32 - bits;
    int[] table = new int[256];
    for (int i = 0; i < 256; i++) {
      int register = i << 24;
      for (int bit = 0; bit < 8; bit++) {
        register = register < 0 ? register << 1 ^ polynomial << up : register << 1;
      }
      table[i] = register;
    }
    return (bytes, from, to) -> {
      int register = initial << up;
      for (int i = from; i < to; i++) {
        register = register << 8 ^ table[(register >>> 24 ^ bytes[i]) & 0xff];
      }
      return register >>> up ^ finalXor;
    };
  }

  private static int xor(byte[] bytes, int from, int to) {
    int register = 0;
    for (int i = from; i < to; i++) {
      register ^= bytes[i];
    }
    return register & 0xff;
  }

  private static int sum(byte[] bytes, int from, int to) {
    int register = 0;
    for (int i = from; i < to; i++) {
      register += bytes[i];
    }
    return register & 0xff;
  }
}
