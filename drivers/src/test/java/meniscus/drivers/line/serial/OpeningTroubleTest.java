package meniscus.drivers.line.serial;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.OS;

/** Every error number that was measured gives a sentence that says what to do. */
@DisabledOnOs(OS.WINDOWS)
class OpeningTroubleTest {

  @Test
  void everyKnownNumberHasItsSentence() {
    assertSays(2, "held by another program");
    assertSays(11, "held by another program");
    assertSays(16, "held by another program");
    assertSays(13, "may not be opened by this user");
    assertSays(21, "is not a serial port");
    assertSays(25, "is not a serial port");
    assertSays(5, "unplugged");
    assertSays(99, "system error 99");
  }

  private static void assertSays(int code, String words) {
    String sentence = OpeningTrouble.explain("/dev/ttyUSB0", code, List.of());
    assertTrue(sentence.startsWith("/dev/ttyUSB0 ") && sentence.contains(words), sentence);
  }
}
