package meniscus.drivers.line.serial;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import meniscus.drivers.line.LineLost;
import org.junit.jupiter.api.Test;

class PortChoiceTest {

  private static final UsbIdentity GAUGE = new UsbIdentity("1a86:7523", "", "USB gauge", "1-2");
  private static final UsbIdentity TWIN = new UsbIdentity("1a86:7523", "", "USB gauge", "1-3");
  private static final UsbIdentity NUMBERED =
      new UsbIdentity("0403:6001", "NX0017", "USB indicator", "1-4");

  @Test
  void aKnownDeviceIsFoundUnderItsNewName() throws LineLost {
    SeenPort back = port("/dev/ttyUSB3", NUMBERED);
    assertEquals(
        back,
        byName("/dev/ttyUSB0")
            .among(
                List.of(port("/dev/ttyUSB0", GAUGE), back), Optional.of(NUMBERED), "/dev/ttyUSB0"));
  }

  @Test
  void anotherDeviceUnderTheOldNameIsNotTaken() {
    LineLost refused =
        assertThrows(
            LineLost.class,
            () ->
                byName("/dev/ttyUSB0")
                    .among(
                        List.of(port("/dev/ttyUSB0", GAUGE)),
                        Optional.of(NUMBERED),
                        "/dev/ttyUSB0"));
    assertTrue(refused.getMessage().contains("/dev/ttyUSB0 (USB gauge)"), refused::getMessage);
  }

  @Test
  void ofTwoAlikeTheOneInTheSameSocketIsTaken() throws LineLost {
    SeenPort same = port("/dev/ttyUSB5", GAUGE);
    assertEquals(
        same,
        byName("/dev/ttyUSB0")
            .among(List.of(port("/dev/ttyUSB0", TWIN), same), Optional.of(GAUGE), "/dev/ttyUSB0"));
  }

  @Test
  void twoThatFitAndCannotBeToldApartAreBothNamed() {
    LineLost refused =
        assertThrows(
            LineLost.class,
            () ->
                new PortChoice("", "1a86:7523", "")
                    .among(
                        List.of(port("/dev/ttyUSB0", GAUGE), port("/dev/ttyUSB1", TWIN)),
                        Optional.empty(),
                        ""));
    assertTrue(
        refused.getMessage().contains("/dev/ttyUSB0")
            && refused.getMessage().contains("/dev/ttyUSB1"),
        refused::getMessage);
  }

  @Test
  void aSerialNumberTellsThemApart() throws LineLost {
    assertEquals(
        port("/dev/ttyUSB1", NUMBERED),
        new PortChoice("", "0403:6001", "NX0017")
            .among(
                List.of(port("/dev/ttyUSB0", GAUGE), port("/dev/ttyUSB1", NUMBERED)),
                Optional.empty(),
                ""));
  }

  @Test
  void aPatternFitsNames() throws LineLost {
    assertEquals(
        port("COM7", NUMBERED),
        byName("COM?").among(List.of(port("COM7", NUMBERED)), Optional.empty(), ""));
  }

  @Test
  void aWindowsPortFitsHoweverItIsWritten() throws LineLost {
    SeenPort there = port("COM7", NUMBERED);
    for (String written : List.of("COM7", "com7", "\\\\.\\COM7", "COM*")) {
      assertEquals(there, byName(written).among(List.of(there), Optional.empty(), ""), written);
    }
  }

  @Test
  void nothingPluggedInAsksForTheCable() {
    LineLost refused =
        assertThrows(
            LineLost.class, () -> byName("/dev/ttyUSB0").among(List.of(), Optional.empty(), ""));
    assertTrue(refused.getMessage().contains("is the cable plugged in?"), refused::getMessage);
  }

  private static PortChoice byName(String name) {
    return new PortChoice(name, "", "");
  }

  private static SeenPort port(String path, UsbIdentity usb) {
    return new SeenPort(path, usb.description(), Optional.of(usb));
  }
}
