package meniscus.core.instrument;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PrintableTest {

  @Test
  void everyByteIsReadBack() {
    byte[] all = new byte[256];
    for (int i = 0; i < all.length; i++) {
      all[i] = (byte) i;
    }
    String text = Printable.whole(ByteBuffer.wrap(all));
    assertTrue(text.chars().allMatch(c -> c >= 0x20 && c < 0x7f), text);
    assertArrayEquals(all, Printable.bytes(text));
  }

  @Test
  void linesAreWrittenAsPeopleWriteThem() {
    byte[] line = {'4', '.', '2', '\\', '\r', '\n', 0, (byte) 0xfe};
    assertEquals("4.2\\\\\\r\\n\\x00\\xfe", Printable.text(ByteBuffer.wrap(line)));
  }

  @Test
  void aLongRunIsCutInMessagesAndSaysSo() {
    String text = Printable.text(ByteBuffer.wrap(new byte[1000]));
    assertTrue(text.endsWith("… (1000 bytes)"), text);
  }

  @Test
  void theBufferIsNotTouched() {
    ByteBuffer buffer =
        ByteBuffer.wrap("abcdef".getBytes(java.nio.charset.StandardCharsets.US_ASCII));
    buffer.position(2).limit(4);
    assertEquals("cd", Printable.whole(buffer));
    assertEquals(2, buffer.remaining());
  }

  @ParameterizedTest
  @ValueSource(strings = {"\\", "\\x", "\\x1", "\\xg1", "\\q", "\t", "é"})
  void whatIsNoPrintableTextIsRefused(String text) {
    assertThrows(IllegalArgumentException.class, () -> Printable.bytes(text));
  }
}
