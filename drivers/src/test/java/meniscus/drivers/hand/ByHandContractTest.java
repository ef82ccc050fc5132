package meniscus.drivers.hand;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Transcript;
import meniscus.drivers.sheet.SheetJson;
import org.junit.jupiter.api.Test;

class ByHandContractTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new ByHandDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return SheetJson.sheet(
        "by-hand",
        "{'channels': [{'name': 'test_pressure', 'unit': 'inH2O'},"
            + " {'name': 'element_drop', 'unit': 'mmH2O'}]}");
  }

  @Override
  protected Transcript transcript() {
    return Transcript.empty()
        .at(1, "test_pressure 28.1\nelement_drop 120..")
        .at(2, "128\nabout 28\n")
        .at(3, "test_pressure 27,9\n");
  }

  @Test
  void aNumberHasNoSwingAndLowAndHighGiveHalfOfIt() {
    assertEquals(List.of("0=28.1", "1=0.0", ";"), read("test_pressure 28.1\n"));
    assertEquals(List.of("2=124.0", "3=4.0", ";"), read("element_drop: 120 .. 128\r\n"));
    assertEquals(List.of("2=124.0", "3=4.0", ";"), read("element_drop 128..120\n"));
    assertEquals(List.of("0=27.9", "1=0.0", ";"), read("  test_pressure=27,9 \n"));
  }

  @Test
  void lowAndHighAreWrittenInSeveralWays() {
    for (String typed : List.of("120..128", "120-128", "120 - 128", "120 to 128", "128 to 120")) {
      assertEquals(List.of("2=124.0", "3=4.0", ";"), read("element_drop " + typed + "\n"), typed);
    }
    assertEquals(List.of("0=-1.0", "1=2.0", ";"), read("test_pressure -3..1\n"));
  }

  /** 1 inH2O is 25.4 mmH2O of the same water: both are of the conventional one. */
  @Test
  void aUnitIsConvertedAndAWrongOneRefusedWithWhatWouldDo() {
    assertEquals(List.of("0=28.0", "1=0.0", ";"), rounded(read("test_pressure 711.2 mmH2O\n")));
    assertEquals(List.of("2=124.0", "3=4.0", ";"), read("element_drop 120..128 mmH2O\n"));
    assertEquals(List.of("2=254.0", "3=25.4", ";"), rounded(read("element_drop 9..11 inH2O\n")));
    for (String wrong : List.of("28 degC", "28 in", "28 inches of water", "28 28", "28;")) {
      List<String> heard = read("test_pressure " + wrong + "\n");
      assertEquals(1, heard.size(), wrong);
      assertTrue(heard.get(0).contains("unit"), wrong + ": " + heard.get(0));
    }
  }

  @Test
  void aScaledNumberHasNoUnit() {
    InstrumentSheet slope =
        SheetJson.sheet(
            "by-hand", "{'channels': [{'name': 'drop', 'unit': 'mmH2O', 'scale': 0.2}]}");
    assertEquals(List.of("0=24.0", "1=0.0", ";"), read(slope, "120\n"));
    assertTrue(read(slope, "120 mmH2O\n").get(0).contains("without a unit"));
  }

  private static List<String> rounded(List<String> readings) {
    return readings.stream()
        .map(
            each ->
                each.contains("=")
                    ? each.substring(0, 2)
                        + Math.round(1e9 * Double.parseDouble(each.substring(2))) / 1e9
                    : each)
        .toList();
  }

  @Test
  void whatIsNotClearIsAskedFor() {
    assertTrue(read("28\n").get(0).contains("say which of test_pressure, element_drop"));
    assertTrue(read("element_drop high\n").get(0).contains("type a number"));
    assertTrue(read("x".repeat(200) + "\n").get(0).contains("longer than 80"));
  }

  @Test
  void theOnlyChannelNeedsNoName() {
    InstrumentSheet one =
        SheetJson.sheet("by-hand", "{'channels': [{'name': 'lift', 'unit': 'in'}]}");
    assertEquals(List.of("0=0.45", "1=0.0", ";"), read(one, ".45\n"));
  }

  @Test
  void aSwingInDegreesCelsiusIsRefused() {
    InstrumentSheet sheet =
        SheetJson.sheet("by-hand", "{'channels': [{'name': 't', 'unit': 'degC'}]}");
    assertThrows(IllegalArgumentException.class, () -> new ByHandDriver().channels(sheet));
  }

  private List<String> read(String typed) {
    return read(sheet(), typed);
  }

  private static List<String> read(InstrumentSheet sheet, String typed) {
    List<String> heard = new ArrayList<>();
    for (Object thing : Transcript.received(typed).play(new ByHandDriver().newDecoder(sheet))) {
      if (thing instanceof Transcript.Reading reading) {
        heard.add(reading.channel() + "=" + reading.value());
      } else if (thing instanceof Rejected rejected) {
        heard.add(rejected.reason());
      } else {
        heard.add(";");
      }
    }
    return heard;
  }
}
