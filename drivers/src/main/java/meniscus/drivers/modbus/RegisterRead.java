package meniscus.drivers.modbus;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Settings;
import meniscus.core.instrument.Sink;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.BinaryNumber;
import meniscus.drivers.sheet.Scaling;
import meniscus.drivers.sheet.SheetChannel;

/**
 * One question: some registers of one unit, in a row.
 *
 * @param unit address of the instrument on the line, 1 to 247; 0 would be all of them, and is never
 *     used
 * @param function 3 holding registers, 4 input registers
 * @param address of the first register, from 0, as on the wire
 * @param count number of registers, 1 to 125
 * @param firstChannel index of the first channel among all of the instrument's
 */
record RegisterRead(
    int unit, int function, int address, int count, int firstChannel, List<Register> channels) {

  /**
   * One channel among the registers.
   *
   * @param offset of its first byte in the answer's data
   * @param highWordFirst of a number in two registers
   * @param noValue raw numbers by which the instrument says "no value"
   */
  record Register(
      Channel channel,
      Scaling scaling,
      BinaryNumber type,
      int offset,
      boolean highWordFirst,
      List<Double> noValue) {

    double value(byte[] data, int from) {
      long bits = BinaryNumber.bits(data, from + offset, type.length(), true);
      if (!highWordFirst) {
        bits = (bits & 0xffff) << 16 | bits >>> 16;
      }
      double raw = type.of(bits);
      for (int i = 0; i < noValue.size(); i++) {
        if (noValue.get(i) == raw) {
          return Double.NaN;
        }
      }
      return scaling.apply(raw);
    }
  }

  static List<RegisterRead> all(Settings settings) {
    List<RegisterRead> reads = new ArrayList<>();
    int unit = settings.whole("unit_id", 1, 1, 247);
    int channels = 0;
    for (Settings one : settings.list("reads")) {
      RegisterRead read = of(one, unit, channels);
      reads.add(read);
      channels += read.channels.size();
    }
    if (reads.isEmpty()) {
      throw new Refusal(settings.where() + ": \"reads\" must hold at least one question");
    }
    SheetChannel.each(settings.where(), channelsOf(reads));
    return reads;
  }

  static List<Channel> channelsOf(List<RegisterRead> reads) {
    return reads.stream().flatMap(read -> read.channels.stream()).map(Register::channel).toList();
  }

  private static RegisterRead of(Settings settings, int unit, int firstChannel) {
    int address = settings.whole("address", 0, 0, 65535);
    int count = settings.whole("count", 1, 1, 125);
    RegisterRead read =
        new RegisterRead(
            settings.whole("unit_id", unit, 1, 247),
            settings.whole("function", 3, 3, 4),
            address,
            count,
            firstChannel,
            settings.list("channels").stream().map(c -> register(c, address, count)).toList());
    settings.done();
    if (address + count > 65536) {
      throw new Refusal(settings.where() + ": there is no register beyond 65535");
    }
    return read;
  }

  private static Register register(Settings settings, int address, int count) {
    SheetChannel common = SheetChannel.of(settings);
    BinaryNumber type = BinaryNumber.of(settings);
    boolean highWordFirst = BinaryNumber.highFirst(settings, "word_order", "high_first");
    int at = settings.whole("register", address, 0, 65535);
    Register register =
        new Register(
            common.channel(),
            common.scaling(),
            type,
            2 * (at - address),
            type.length() < 4 || highWordFirst,
            settings.numbers("no_value"));
    settings.done();
    if (type.length() % 2 != 0) {
      throw new Refusal(
          settings.where() + ": a register holds 16 bits; \"" + type.word() + "\" does not fit");
    }
    if (at < address || at + type.length() / 2 > address + count) {
      throw new Refusal(
          settings.where()
              + ": register "
              + at
              + " is not among the "
              + count
              + " read from "
              + address);
    }
    return register;
  }

  /** Unit, function, address and count. */
  byte[] question() {
    return new byte[] {
      (byte) unit,
      (byte) function,
      (byte) (address >> 8),
      (byte) address,
      (byte) (count >> 8),
      (byte) count
    };
  }

  /** Gives on the registers in {@code data[from …]}. */
  void give(byte[] data, int from, Moment at, Sink sink) {
    for (int i = 0; i < channels.size(); i++) {
      sink.reading(firstChannel + i, channels.get(i).value(data, from), at);
    }
    sink.frame(at);
  }

  /** For people. */
  String words() {
    return "unit " + unit + ", function " + function + ", " + count + " registers from " + address;
  }

  /** What the specification calls an exception code, for people. */
  static String exception(int code) {
    String meaning =
        switch (code) {
          case 1 -> "illegal function: it does not know this function";
          case 2 -> "illegal data address: it has no such register";
          case 3 -> "illegal data value: it does not accept this count";
          case 4 -> "server device failure";
          case 5 -> "acknowledge: it needs longer";
          case 6 -> "server device busy";
          case 8 -> "memory parity error";
          case 10 -> "gateway path unavailable";
          case 11 -> "gateway target device failed to respond";
          default -> "a code that the specification does not know";
        };
    return "exception " + code + ", " + meaning;
  }
}
