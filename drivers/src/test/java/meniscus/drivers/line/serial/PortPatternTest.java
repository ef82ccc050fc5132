package meniscus.drivers.line.serial;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Map;
import meniscus.core.instrument.Settings;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;
import org.junit.jupiter.api.Test;

/** Names of ports, whichever system they are of; written for Windows, which nobody has tried. */
class PortPatternTest {

  @Test
  void aStarStandsForAnyLettersAndAQuestionMarkForOne() {
    assertTrue(fits("/dev/ttyUSB*", "/dev/ttyUSB0"));
    assertTrue(fits("/dev/ttyUSB*", "/dev/ttyUSB"));
    assertTrue(fits("/dev/*USB*1", "/dev/ttyUSB11"));
    assertTrue(fits("/dev/ttyUSB?", "/dev/ttyUSB7"));
    assertFalse(fits("/dev/ttyUSB?", "/dev/ttyUSB12"));
    assertFalse(fits("/dev/ttyUSB*", "/dev/ttyACM0"));
    assertFalse(fits("/dev/*", "/dev/pts/3"), "a star stays within its folder");
    assertFalse(fits("/dev/tty?USB0", "/dev/tty/USB0"));
    assertTrue(fits("/dev/serial/by-id/usb-[a]{b}", "/dev/serial/by-id/usb-[a]{b}"));
  }

  @Test
  void aPatternOfWindowsPortsIsNoPath() {
    assertTrue(fits("COM*", "COM3"));
    assertTrue(fits("COM*", "\\\\.\\COM12"));
    assertTrue(fits("com?", "COM3"), "names of Windows ports have no case");
    assertFalse(fits("COM?", "COM12"));
    assertEquals("", new PortPattern("COM*").folder(), "looked for among the ports, not the files");
  }

  @Test
  void aWindowsPortIsShownAsPeopleKnowIt() {
    assertEquals("COM3", PortPattern.shown("\\\\.\\COM3"));
    assertEquals("COM3", new PortPattern("\\\\.\\COM3").text());
    assertEquals("/dev/ttyUSB0", PortPattern.shown("/dev/ttyUSB0"));
  }

  /** The very libraries, asked for a port of the other system: refused in words, no exception. */
  @Test
  void aBenchFileFromAnotherSystemIsToldThatThePortIsNotThere() {
    for (String port : new String[] {"COM*", "\\\\.\\COM3", "COM3", "/dev/no-such-place/tty*"}) {
      LineOpener opener =
          new SerialKind()
              .opener(new Settings("line", Map.of("kind", "serial", "port", port, "baud", 9600)));
      LineLost lost = assertThrows(LineLost.class, opener::open, port);
      assertTrue(
          lost.getMessage().startsWith("no serial port") && !lost.getMessage().contains("\\\\"),
          lost::getMessage);
    }
  }

  private static boolean fits(String pattern, String port) {
    return new PortPattern(pattern).matches(port);
  }
}
