package meniscus.drivers.text;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Against the Java library's own reading of the same text, to the last bit. */
class DecimalTextTest {

  @ParameterizedTest
  @ValueSource(
      strings = {
        "0",
        "-0",
        "+27.984",
        "1008.62",
        ".25",
        "5.",
        "1e3",
        "1.2E-3",
        "-4.5e+07",
        "9007199254740993",
        "0.1234567890123456789",
        "123456789012345678901234567890",
        "1e22",
        "1e23",
        "1e-22",
        "4.9e-324",
        "1e300",
        "00000000000000000000001.5",
        "9223372036854775807",
        "9223372036854775808"
      })
  void aNumberIsReadAsTheLibraryReadsIt(String text) {
    assertEquals(Double.parseDouble(text), parse(text), text);
  }

  @Test
  void aMillionthOfAllNumbersIsReadToTheLastBit() {
    Random random = new Random(7);
    for (int i = 0; i < 50_000; i++) {
      String text = Double.toString(Double.longBitsToDouble(random.nextLong()));
      if (!text.contains("N") && !text.contains("I")) {
        assertEquals(Double.parseDouble(text), parse(text), text);
      }
      String plain = (random.nextInt(2_000_001) - 1_000_000) / 1000.0 + "";
      assertEquals(Double.parseDouble(plain), parse(plain), plain);
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "+",
        "-",
        ".",
        "+.",
        "1.2.3",
        "1,2",
        "1e",
        "1e+",
        "e5",
        "1e1234",
        "1e999",
        "12a",
        "0x10",
        "--1",
        "NaN",
        "Infinity",
        "1 2",
        " 1",
        "1 ",
        "+27.984f",
        "1e5d"
      })
  void whatIsNoNumberIsNotRead(String text) {
    assertTrue(Double.isNaN(parse(text)), text);
  }

  @Test
  void aSignMayStandApartAndTheMarkMayBeAComma() {
    assertEquals(-0.5, parse("-  0.5"));
    byte[] comma = "+27,984".getBytes(StandardCharsets.US_ASCII);
    assertEquals(27.984, DecimalText.parse(comma, 0, comma.length, (byte) ','));
  }

  private static double parse(String text) {
    byte[] bytes = ("9" + text + "9").getBytes(StandardCharsets.ISO_8859_1);
    return DecimalText.parse(bytes, 1, bytes.length - 1, (byte) '.');
  }
}
