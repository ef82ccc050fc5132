package meniscus.drivers.sheet;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.Random;
import java.util.zip.CRC32;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ChecksumTest {

  /** "Check" values of G. Cook, Catalogue of parametrised CRC algorithms (CRC RevEng). */
  @ParameterizedTest
  @CsvSource({
    "CRC-8/SMBUS, f4",
    "CRC-8/MAXIM-DOW, a1",
    "CRC-16/ARC, bb3d",
    "CRC-16/MODBUS, 4b37",
    "CRC-16/XMODEM, 31c3",
    "CRC-16/IBM-3740, 29b1",
    "CRC-16/KERMIT, 2189",
    "CRC-16/IBM-SDLC, 906e",
    "CRC-32/ISO-HDLC, cbf43926",
  })
  void theNineDigitsGiveThePublishedCheckValue(String name, String check) {
    byte[] digits = "xx123456789yy".getBytes(StandardCharsets.US_ASCII);
    assertEquals(check, Long.toHexString(Checksum.named(name).of(digits, 2, 11)));
  }

  /** Hand arithmetic: '1' to '9' are 31 to 39 (hex); exclusive or 31, sum 1DD. */
  @Test
  void exclusiveOrAndSumByHand() {
    byte[] digits = "123456789".getBytes(StandardCharsets.US_ASCII);
    assertEquals(0x31, Checksum.named("XOR").of(digits, 0, 9));
    assertEquals(0xdd, Checksum.named("SUM-8").of(digits, 0, 9));
  }

  @Test
  void thirtyTwoBitsAgreeWithTheJavaLibrary() {
    Random random = new Random(1);
    for (int i = 0; i < 200; i++) {
      byte[] bytes = new byte[random.nextInt(300)];
      random.nextBytes(bytes);
      CRC32 reference = new CRC32();
      reference.update(bytes);
      assertEquals(
          reference.getValue(), Checksum.named("CRC-32/ISO-HDLC").of(bytes, 0, bytes.length));
    }
  }

  @Test
  void anUnknownNameListsTheKnownOnes() {
    IllegalArgumentException unknown =
        assertThrows(IllegalArgumentException.class, () -> Checksum.named("CRC-16"));
    assertTrue(unknown.getMessage().contains("CRC-16/MODBUS"), unknown::getMessage);
  }
}
