package meniscus.drivers.modbus;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Request;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.Checksum;
import meniscus.drivers.sheet.SheetJson;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Worked frames of the MODBUS Application Protocol Specification V1.1b3, 6.3 and 6.4 (holding
 * registers 108 to 110 are 555, 0 and 100; input register 9 is 10), and of MODBUS over Serial Line
 * V1.02, 6.2.2 (the frame 02 07 has the CRC bytes 41 12). From memory of the specifications.
 */
class ModbusTest {

  private static final long SEED = 77;

  @Test
  void questionsAreThoseOfTheSpecification() {
    Player rtu = new Player("modbus-rtu");
    assertArrayEquals(withCrc(1, 3, 0, 0x6b, 0, 3), rtu.sent(0));
    rtu.says(0.01, withCrc(1, 3, 6, 2, 0x2b, 0, 0, 0, 0x64));
    assertArrayEquals(withCrc(1, 4, 0, 8, 0, 1), rtu.sent(1));
    Player tcp = new Player("modbus-tcp");
    assertArrayEquals(header(1, 1, 3, 0, 0x6b, 0, 3), tcp.sent(0));
  }

  @Test
  void theChecksumIsThatOfTheSpecification() {
    assertArrayEquals(new byte[] {2, 7, 0x41, 0x12}, withCrc(2, 7));
  }

  @Test
  void answersAreThoseOfTheSpecification() {
    Player rtu = new Player("modbus-rtu");
    rtu.says(0.01, withCrc(1, 3, 6, 2, 0x2b, 0, 0, 0, 0x64));
    rtu.says(0.02, withCrc(1, 4, 2, 0, 10));
    assertEquals(List.of("0=555.0", "1=0.0", "2=100.0", ";", "3=10.0", ";"), rtu.heard());
    Player tcp = new Player("modbus-tcp");
    tcp.says(0.01, header(1, 1, 3, 6, 2, 0x2b, 0, 0, 0, 0x64));
    tcp.says(0.02, header(2, 1, 4, 2, 0, 10));
    assertEquals(rtu.heard(), tcp.heard());
  }

  @Test
  void anExceptionIsSaidInTheSpecificationsWordsAndTheRoundGoesOn() {
    Player rtu = new Player("modbus-rtu");
    rtu.says(0.01, withCrc(1, 0x83, 2));
    rtu.says(0.02, withCrc(1, 4, 2, 0, 10));
    assertTrue(
        rtu.heard().get(0).contains("exception 2, illegal data address"), rtu.heard()::toString);
    assertEquals("3=10.0", rtu.heard().get(1));
  }

  @Test
  void anAnswerOfAnotherUnitOrWithADamagedChecksumIsNoAnswer() {
    Player rtu = new Player("modbus-rtu");
    rtu.says(0.01, withCrc(2, 3, 6, 2, 0x2b, 0, 0, 0, 0x64));
    byte[] damaged = withCrc(1, 3, 6, 2, 0x2b, 0, 0, 0, 0x64);
    damaged[4] ^= 1;
    rtu.says(0.02, damaged);
    rtu.waits(0.25);
    assertEquals(1, rtu.heard().size(), rtu.heard()::toString);
    assertTrue(rtu.heard().get(0).contains("not a whole answer"), rtu.heard()::toString);
  }

  @Test
  void anEchoOfTheQuestionOnATwoWireLineIsRejectedAndTheAnswerIsRead() {
    Player rtu = new Player("modbus-rtu");
    byte[] echo = withCrc(1, 3, 0, 0x6b, 0, 3);
    byte[] answer = withCrc(1, 3, 6, 2, 0x2b, 0, 0, 0, 0x64);
    byte[] both = Arrays.copyOf(echo, echo.length + answer.length);
    System.arraycopy(answer, 0, both, echo.length, answer.length);
    rtu.says(0.01, both);
    assertEquals(List.of("0=555.0", "1=0.0", "2=100.0", ";"), rtu.heard().subList(1, 5));
    assertTrue(rtu.heard().get(0).contains("no part of an answer"));
  }

  @Test
  void aLateTcpAnswerIsKnownByItsNumber() {
    Player tcp = new Player("modbus-tcp");
    tcp.waits(0.45);
    tcp.says(0.46, header(1, 1, 3, 6, 0, 1, 0, 1, 0, 1));
    tcp.says(0.47, header(2, 1, 3, 6, 2, 0x2b, 0, 0, 0, 0x64));
    assertTrue(tcp.heard().get(0).contains("late answer"), tcp.heard()::toString);
    assertEquals("0=555.0", tcp.heard().get(1));
  }

  @Test
  void silenceIsAskedAgainAndThenSaid() {
    Player rtu = new Player("modbus-rtu");
    rtu.waits(0.9);
    assertTrue(
        rtu.heard()
            .get(0)
            .endsWith(
                "no answer to unit 1, function 3, 3 registers from 107 within 0.2 s, asked 2 times"),
        rtu.heard()::toString);
  }

  @Test
  void numbersOfTwoRegistersComeInEitherOrderOfWords() {
    InstrumentSheet sheet =
        SheetJson.sheet(
            "modbus-rtu",
            "{'reads': [{'address': 10, 'count': 8, 'channels': ["
                + "{'name': 'a', 'unit': 'Pa', 'register': 10, 'type': 'float32'},"
                + "{'name': 'b', 'unit': 'Pa', 'register': 12, 'type': 'float32', 'word_order': 'low_first'},"
                + "{'name': 'c', 'unit': 'Pa', 'register': 14, 'type': 'int32', 'scale': 0.001},"
                + "{'name': 'd', 'unit': 'Pa', 'register': 16, 'type': 'int16', 'no_value': [-32768]},"
                + "{'name': 'e', 'unit': 'Pa', 'register': 17, 'type': 'uint16'}]}]}");
    Player rtu = new Player(sheet);
    int bits = Float.floatToIntBits(-12.5f);
    ByteBuffer data = ByteBuffer.allocate(19).put((byte) 1).put((byte) 3).put((byte) 16);
    data.putInt(bits).putShort((short) bits).putShort((short) (bits >> 16));
    data.putInt(-7000).putShort((short) -32768).putShort((short) 65535);
    int[] frame = new int[19];
    for (int i = 0; i < 19; i++) {
      frame[i] = data.get(i) & 0xff;
    }
    rtu.says(0.01, withCrc(frame));
    assertEquals(List.of("0=-12.5", "1=-12.5", "2=-7.0", "3=NaN", "4=65535.0", ";"), rtu.heard());
  }

  @Test
  void damagedAnswersAreNeverReadWrong() {
    damage(20_000);
  }

  @Test
  @Tag("bench")
  void aMillionDamagedAnswers() {
    damage(1_000_000);
  }

  /** Up to two neighbouring bytes, or two bits anywhere: what 16 bits are bound to find. */
  private static void damage(int frames) {
    Random random = new Random(SEED);
    RtuWire wire = new RtuWire();
    RegisterRead read = RegisterRead.all(specificationSheet("modbus-rtu").settings()).get(0);
    for (int i = 0; i < frames; i++) {
      byte[] whole =
          withCrc(
              1,
              3,
              6,
              random.nextInt(256),
              random.nextInt(256),
              random.nextInt(256),
              random.nextInt(256),
              random.nextInt(256),
              random.nextInt(256));
      byte[] damaged = whole.clone();
      if (random.nextBoolean()) {
        int from = random.nextInt(whole.length - 1);
        damaged[from] = (byte) random.nextInt(256);
        damaged[from + 1] = (byte) random.nextInt(256);
      } else {
        for (int k = 0; k < 2; k++) {
          int bit = random.nextInt(8 * whole.length);
          damaged[bit / 8] ^= (byte) (1 << bit % 8);
        }
      }
      wire.reset();
      for (byte b : damaged) {
        ModbusWire.Answer answer = wire.accept(b, read);
        assertTrue(
            answer != ModbusWire.Answer.REGISTERS || Arrays.equals(whole, damaged),
            () -> "seed " + SEED + ": " + Arrays.toString(damaged));
      }
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{}|\"reads\" must hold at least one",
        "{'unit_id': 0, 'reads': []}|from 1 to 247",
        "{'reads': [{'count': 126, 'channels': []}]}|from 1 to 125",
        "{'reads': [{'function': 6, 'channels': []}]}|from 3 to 4",
        "{'reads': [{'channels': [{'name': 'a', 'unit': 'Pa', 'type': 'int12'}]}]}|int16, uint16",
        "{'reads': [{'channels': [{'name': 'a', 'unit': 'Pa', 'type': 'int32'}]}]}|not among the 1 read from 0",
        "{'reads': [{'channels': [{'name': 'a', 'unit': 'Pa', 'type': 'int8'}]}]}|does not fit",
      })
  void aSheetThatDoesNotFitSaysWhy(String members, String message) {
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class,
            () -> new ModbusRtuDriver().channels(SheetJson.sheet("modbus-rtu", members)));
    assertTrue(refused.getMessage().contains(message), refused::getMessage);
  }

  static InstrumentSheet specificationSheet(String driver) {
    return SheetJson.sheet(
        driver,
        "{'every_s': 1, 'timeout_s': 0.2, 'retries': 1, 'reads': ["
            + "{'function': 3, 'address': 107, 'count': 3, 'channels': ["
            + "{'name': 'a', 'unit': 'Pa', 'register': 107, 'type': 'int16'},"
            + "{'name': 'b', 'unit': 'Pa', 'register': 108, 'type': 'int16'},"
            + "{'name': 'c', 'unit': 'Pa', 'register': 109, 'type': 'int16'}]},"
            + "{'function': 4, 'address': 8, 'count': 1, 'channels': ["
            + "{'name': 'd', 'unit': 'Pa', 'type': 'int16'}]}]}");
  }

  static byte[] withCrc(int... frame) {
    byte[] bytes = new byte[frame.length + 2];
    for (int i = 0; i < frame.length; i++) {
      bytes[i] = (byte) frame[i];
    }
    long crc = Checksum.named("CRC-16/MODBUS").of(bytes, 0, frame.length);
    bytes[frame.length] = (byte) crc;
    bytes[frame.length + 1] = (byte) (crc >> 8);
    return bytes;
  }

  static byte[] header(int transaction, int... frame) {
    byte[] bytes = new byte[frame.length + 6];
    bytes[1] = (byte) transaction;
    bytes[5] = (byte) frame.length;
    for (int i = 0; i < frame.length; i++) {
      bytes[6 + i] = (byte) frame[i];
    }
    return bytes;
  }

  private static final class Player {
    private final Transcript.Player player;

    Player(String driver) {
      this(specificationSheet(driver));
    }

    Player(InstrumentSheet sheet) {
      player =
          new Transcript.Player(
              sheet.driver().equals("modbus-rtu")
                  ? new ModbusRtuDriver().newDecoder(sheet)
                  : new ModbusTcpDriver().newDecoder(sheet));
      player.opened(Moment.START);
    }

    void says(double at, byte[] bytes) {
      waits(at);
      player.bytes(Moment.ofSeconds(at), bytes);
    }

    void waits(double until) {
      player.ticksUntil(Moment.ofSeconds(until));
    }

    byte[] sent(int index) {
      Request request =
          player.heard().stream()
              .filter(Transcript.Sent.class::isInstance)
              .map(sent -> ((Transcript.Sent) sent).request())
              .toList()
              .get(index);
      byte[] bytes = new byte[request.length()];
      request.bytes().get(bytes);
      return bytes;
    }

    List<String> heard() {
      List<String> heard = new ArrayList<>();
      for (Object thing : player.heard()) {
        if (thing instanceof Transcript.Reading reading) {
          heard.add(reading.channel() + "=" + reading.value());
        } else if (thing instanceof Rejected rejected) {
          heard.add(rejected.bytes() + ": " + rejected.reason());
        } else if (thing instanceof Transcript.Frame) {
          heard.add(";");
        }
      }
      return heard;
    }
  }
}
