package meniscus.drivers.sheet;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Map;
import java.util.ServiceLoader;
import java.util.stream.Collectors;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.Settings;
import meniscus.drivers.line.Lines;
import org.junit.jupiter.api.Test;

class ShippedSheetsTest {

  @Test
  void everySheetIsReadByItsDriverAndNamesAUsableLine() {
    Map<String, InstrumentDriver> drivers =
        ServiceLoader.load(InstrumentDriver.class).stream()
            .map(ServiceLoader.Provider::get)
            .collect(Collectors.toMap(InstrumentDriver::id, driver -> driver));
    for (String name : ShippedSheets.names()) {
      SheetFile sheet = SheetFile.of(SheetJson.settings(name, ShippedSheets.json(name)));
      InstrumentDriver driver = drivers.get(sheet.instrument().driver());
      assertFalse(driver.channels(sheet.instrument()).isEmpty(), name);
      if (sheet.line().text("kind", "").equals("serial")) {
        Settings onBench = new Settings("bench", Map.of("port", "/dev/ttyUSB0"));
        Lines.opener(onBench.orElse(sheet.line()));
      }
    }
  }

  @Test
  void channelsHaveTheUnitsOfTheSheet() {
    assertEquals("[test_pressure inH2O, element_drop inH2O]", channels("two-channel-manometer"));
    assertEquals("[lift mm]", channels("dial-indicator"));
    assertEquals("[temperature degC, pressure hPa, humidity %]", channels("room-air-station"));
  }

  @Test
  void aSheetThatIsNotShippedNamesThoseThatAre() {
    IllegalArgumentException missing =
        assertThrows(IllegalArgumentException.class, () -> ShippedSheets.json("../secret"));
    assertTrue(missing.getMessage().contains("dial-indicator, "));
  }

  @Test
  void aFileOfAnotherFormatIsRefused() {
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class,
            () -> SheetFile.of(new Settings("x.json", Map.of("meniscus", "bench/1"))));
    assertTrue(refused.getMessage().contains("sheet/1"), refused::getMessage);
  }

  private static String channels(String name) {
    var sheet = SheetJson.shipped(name);
    return ServiceLoader.load(InstrumentDriver.class).stream()
        .map(ServiceLoader.Provider::get)
        .filter(driver -> driver.id().equals(sheet.driver()))
        .flatMap(driver -> driver.channels(sheet).stream())
        .map((Channel channel) -> channel.name() + " " + channel.unit().symbol())
        .toList()
        .toString();
  }
}
