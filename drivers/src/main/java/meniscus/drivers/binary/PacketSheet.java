package meniscus.drivers.binary;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.sheet.BinaryNumber;
import meniscus.drivers.sheet.Checksum;
import meniscus.drivers.sheet.SheetChannel;

/**
 * What a sheet says of packets.
 *
 * @param cobs else SLIP
 * @param length of a packet without its checksum [bytes]
 * @param checksum at the packet's end
 * @param checksumHighFirst which byte of it comes first
 */
record PacketSheet(
    boolean cobs,
    int length,
    Optional<Checksum> checksum,
    boolean checksumHighFirst,
    List<Fixed> expected,
    List<Number> numbers) {

  /** A byte that must be what it is. */
  record Fixed(int at, byte value) {}

  /** A channel and where its number stands. */
  record Number(SheetChannel common, BinaryNumber type, int at, boolean highFirst) {}

  static PacketSheet of(Settings settings) {
    String framing = settings.text("framing");
    if (!framing.equals("COBS") && !framing.equals("SLIP")) {
      throw new Refusal(
          settings.where() + ", \"framing\" must be COBS or SLIP, was \"" + framing + "\"");
    }
    settings.number("length");
    int length = settings.whole("length", 1, 1, 1024);
    Settings check = settings.within("checksum");
    PacketSheet sheet =
        new PacketSheet(
            framing.equals("COBS"),
            length,
            settings.has("checksum")
                ? Optional.of(SheetChannel.saying(check, Checksum::named, check.text("kind")))
                : Optional.empty(),
            BinaryNumber.highFirst(check, "order", "low_first"),
            expected(settings, length),
            settings.list("channels").stream().map(c -> number(c, length)).toList());
    check.done();
    settings.done();
    SheetChannel.each(settings.where(), sheet.channels());
    return sheet;
  }

  List<Channel> channels() {
    return numbers.stream().map(number -> number.common().channel()).toList();
  }

  int wholeLength() {
    return length + checksum.map(found -> found.bits() / 8).orElse(0);
  }

  private static List<Fixed> expected(Settings settings, int length) {
    List<Fixed> expected = new ArrayList<>();
    for (Settings one : settings.list("expect")) {
      int at = one.whole("byte", 1, 1, length) - 1;
      expected.add(new Fixed(at, (byte) one.whole("value", 0, 0, 255)));
      one.done();
    }
    return expected;
  }

  private static Number number(Settings settings, int length) {
    SheetChannel common = SheetChannel.mayCount(settings);
    BinaryNumber type = BinaryNumber.of(settings);
    settings.number("byte");
    Number number =
        new Number(
            common,
            type,
            settings.whole("byte", 1, 1, length) - 1,
            BinaryNumber.highFirst(settings, "order", "low_first"));
    settings.done();
    if (number.at + type.length() > length) {
      throw new Refusal(
          settings.where() + ": the number ends behind the packet's " + length + " bytes");
    }
    return number;
  }
}
