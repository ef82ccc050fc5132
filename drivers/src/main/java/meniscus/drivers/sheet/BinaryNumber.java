package meniscus.drivers.sheet;

import meniscus.core.instrument.Settings;
import meniscus.core.quantity.Coded;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;

/** How a number is written in bytes. Floats as in IEEE 754. */
public enum BinaryNumber implements Coded {
  INT8(1),
  UINT8(1),
  INT16(2),
  UINT16(2),
  INT24(3),
  UINT24(3),
  INT32(4),
  UINT32(4),
  FLOAT32(4);

  private final int length;

  BinaryNumber(int length) {
    this.length = length;
  }

  /**
   * Reads {@code type}.
   *
   * @throws Refusal naming the known ones
   */
  public static BinaryNumber of(Settings settings) {
    String wanted = settings.text("type");
    return Worded.named(values(), wanted)
        .orElseThrow(
            () ->
                new Refusal(
                    settings.where()
                        + ", \"type\" must be one of "
                        + String.join(", ", Worded.words(values()))
                        + ", was \""
                        + wanted
                        + "\""));
  }

  /** Number of bytes. */
  public int length() {
    return length;
  }

  /**
   * The number that bytes hold.
   *
   * @param bits the bytes as one unsigned number, the most significant first
   * @return NaN for a float that is infinite or no number
   */
  public double of(long bits) {
    int unused = 64 - 8 * length;
    return switch (this) {
      case INT8, INT16, INT24, INT32 -> bits << unused >> unused;
      case UINT8, UINT16, UINT24, UINT32 -> bits;
      case FLOAT32 -> {
        float value = Float.intBitsToFloat((int) bits);
        yield Float.isInfinite(value) ? Double.NaN : value;
      }
    };
  }

  /** {@code length} bytes as one unsigned number. */
  public static long bits(byte[] bytes, int from, int length, boolean highFirst) {
    long bits = 0;
    for (int i = 0; i < length; i++) {
      bits = bits << 8 | bytes[highFirst ? from + i : from + length - 1 - i] & 0xff;
    }
    return bits;
  }

  /**
   * Reads a member that says which end comes first: {@code high_first} or {@code low_first}.
   *
   * @return whether it is {@code high_first}
   */
  public static boolean highFirst(Settings settings, String name, String otherwise) {
    String order = settings.text(name, otherwise);
    if (!order.equals("high_first") && !order.equals("low_first")) {
      throw new Refusal(
          settings.where()
              + ", \""
              + name
              + "\" must be high_first or low_first, was \""
              + order
              + "\"");
    }
    return order.equals("high_first");
  }
}
