package meniscus.drivers.binary;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.Checksum;
import meniscus.drivers.sheet.SheetJson;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PacketStreamTest {

  private static final long SEED = 314;

  /**
   * Worked examples as they are widely published for the code of S. Cheshire and M. Baker (1999);
   * from memory.
   */
  @ParameterizedTest
  @CsvSource({
    "00, 010100",
    "0000, 01010100",
    "00110000, 0102110101" + "00",
    "11220033, 031122023300",
    "11223344, 051122334400",
    "11000000, 021101010100",
  })
  void cobsIsTakenApartAsPublished(String packet, String framed) {
    assertEquals(packet, unframed(new Unframing.Cobs(300), framed));
  }

  @Test
  void cobsBlocksOfTheGreatestLength() {
    StringBuilder bytes = new StringBuilder();
    for (int i = 1; i <= 254; i++) {
      bytes.append(String.format("%02x", i));
    }
    assertEquals(bytes.toString(), unframed(new Unframing.Cobs(300), "ff" + bytes + "00"));
    assertEquals(bytes + "ff", unframed(new Unframing.Cobs(300), "ff" + bytes + "02ff" + "00"));
    assertEquals(bytes + "00", unframed(new Unframing.Cobs(300), "ff" + bytes + "0101" + "00"));
  }

  /** RFC 1055: DB DC stands for C0, DB DD for DB. */
  @Test
  void slipIsTakenApartAsInItsRfc() {
    assertEquals("01c002db03", unframed(new Unframing.Slip(9), "c001dbdc02dbdd03c0"));
  }

  @Test
  void anyPacketComesBack() {
    Random random = new Random(SEED);
    for (int i = 0; i < 2000; i++) {
      byte[] packet = new byte[1 + random.nextInt(600)];
      random.nextBytes(packet);
      for (int k = 0; k < packet.length; k++) {
        packet[k] = random.nextInt(3) == 0 ? 0 : packet[k];
      }
      HexFormat hex = HexFormat.of();
      String whole = hex.formatHex(packet);
      assertEquals(whole, unframed(new Unframing.Cobs(700), hex.formatHex(cobs(packet))));
      assertEquals(whole, unframed(new Unframing.Slip(700), hex.formatHex(slip(packet))));
    }
  }

  @Test
  void countsBecomePressures() {
    Transcript transcript =
        Transcript.empty().at(Moment.ofSeconds(1), cobs(packet(0xA1, 1000, -8192)));
    List<Object> heard = transcript.play(new PacketStreamDriver().newDecoder(sheet("COBS")));
    assertEquals(new Transcript.Reading(0, 10.0, Moment.ofSeconds(1)), heard.get(0));
    assertEquals(new Transcript.Reading(1, -0.5, Moment.ofSeconds(1)), heard.get(1));
  }

  @Test
  void damagedPacketsAreNeverReadWrong() {
    damage(20_000);
  }

  @Test
  @Tag("bench")
  void aMillionDamagedPackets() {
    damage(1_000_000);
  }

  /** One damaged byte inside a packet: whatever the framing makes of it, the checksum finds it. */
  private static void damage(int packets) {
    Random random = new Random(SEED);
    Transcript.Player player =
        new Transcript.Player(new PacketStreamDriver().newDecoder(sheet("SLIP")));
    player.opened(Moment.START);
    for (int i = 0; i < packets; i++) {
      byte[] whole = packet(0xA1, random.nextInt(65536), random.nextInt(65536) - 32768);
      byte[] damaged = whole.clone();
      int at = random.nextInt(whole.length);
      damaged[at] = (byte) random.nextInt(256);
      player.heard().clear();
      player.bytes(Moment.START, slip(damaged));
      boolean read = player.heard().stream().anyMatch(Transcript.Frame.class::isInstance);
      assertEquals(Arrays.equals(whole, damaged), read, "seed " + SEED + ", packet " + i);
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{'framing': 'HDLC', 'length': 4}|COBS or SLIP",
        "{'framing': 'COBS'}|\"length\" is missing",
        "{'framing': 'COBS', 'length': 4, 'channels': []}|at least one channel",
        "{'framing': 'COBS', 'length': 4, 'channels': [{'name': 'a', 'unit': 'Pa', 'type': 'int32', 'byte': 2}]}|ends behind",
        "{'framing': 'COBS', 'length': 4, 'checksum': {'kind': 'CRC'}, 'channels': []}|no checksum",
      })
  void aSheetThatDoesNotFitSaysWhy(String members, String message) {
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class,
            () -> new PacketStreamDriver().channels(SheetJson.sheet("packet-stream", members)));
    assertTrue(refused.getMessage().contains(message), refused::getMessage);
  }

  static InstrumentSheet sheet(String framing) {
    return SheetJson.sheet(
        "packet-stream",
        "{'framing': '"
            + framing
            + "', 'length': 5, 'checksum': {'kind': 'CRC-16/IBM-3740'},"
            + "'expect': [{'byte': 1, 'value': 161}], 'channels': ["
            + "{'name': 'p', 'unit': 'Pa', 'byte': 2, 'type': 'uint16', 'scale': 0.01},"
            + "{'name': 'q', 'unit': 'kPa', 'byte': 4, 'type': 'int16', 'order': 'high_first',"
            + " 'points': [{'raw': 0, 'is': 0}, {'raw': 16384, 'is': 1}]}]}");
  }

  static byte[] packet(int kind, int p, int q) {
    ByteBuffer packet = ByteBuffer.allocate(7).order(ByteOrder.LITTLE_ENDIAN);
    packet.put((byte) kind).putShort((short) p);
    packet.order(ByteOrder.BIG_ENDIAN).putShort((short) q);
    long crc = Checksum.named("CRC-16/IBM-3740").of(packet.array(), 0, 5);
    packet.order(ByteOrder.LITTLE_ENDIAN).putShort((short) crc);
    return packet.array();
  }

  static byte[] cobs(byte[] packet) {
    ByteArrayOutputStream framed = new ByteArrayOutputStream();
    int from = 0;
    while (true) {
      int to = from;
      while (to < packet.length && packet[to] != 0 && to - from < 254) {
        to++;
      }
      framed.write(to - from + 1);
      framed.write(packet, from, to - from);
      boolean full = to - from == 254;
      if (to == packet.length) {
        break;
      }
      from = full ? to : to + 1;
    }
    framed.write(0);
    return framed.toByteArray();
  }

  static byte[] slip(byte[] packet) {
    ByteArrayOutputStream framed = new ByteArrayOutputStream();
    for (byte b : packet) {
      if (b == (byte) 0xc0 || b == (byte) 0xdb) {
        framed.write(0xdb);
        framed.write(b == (byte) 0xc0 ? 0xdc : 0xdd);
      } else {
        framed.write(b);
      }
    }
    framed.write(0xc0);
    return framed.toByteArray();
  }

  private static String unframed(Unframing unframing, String framed) {
    unframing.reset(false);
    String found = "nothing";
    for (byte b : HexFormat.of().parseHex(framed)) {
      Unframing.Found what = unframing.accept(b);
      if (what == Unframing.Found.PACKET) {
        found = HexFormat.of().formatHex(unframing.packet, 0, unframing.length);
      } else if (what == Unframing.Found.DAMAGED) {
        found = "damaged";
      }
    }
    return found;
  }
}
