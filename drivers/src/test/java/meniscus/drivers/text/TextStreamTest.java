package meniscus.drivers.text;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Transcript;
import meniscus.drivers.sheet.SheetJson;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What sheets can say of lines that come by themselves. */
class TextStreamTest {

  private static final String ONE =
      "'separator': ',', 'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1";

  @Test
  void theManometersLinesAreReadAsTheDocumentSays() {
    assertEquals(
        List.of("0=27.984", "1=12.31", ";", "0=28.002", "1=NaN", ";"),
        read(
            SheetJson.shipped("two-channel-manometer"),
            "P1,+27.984,P2,+12.310*2E\r\nP1,+28.002,P2,OVER*1C\r\n# warm-up finished\r\n"));
  }

  @Test
  void theIndicatorsButtonForInchesChangesNothing() {
    assertEquals(
        List.of("0=11.43", ";", "0=11.43", ";", "0=NaN", ";"),
        rounded(
            read(
                SheetJson.shipped("dial-indicator"),
                "the first is never trusted\rL +11.430 mm\rL +0.4500 in\rL ----- mm\r")));
  }

  @Test
  void aFieldIsExpectedWithItsLabelAndALabelWithout() {
    String sheet =
        "{'separator': ';', 'label_mark': '=', 'expect': [{%s, 'text': '%s'}],"
            + " 'channels': [{'name': 'a', 'unit': 'Pa', 'label': 'P'}]}";
    for (String[] right : new String[][] {{"'field': 1", "S=OK"}, {"'label': 'S'", "OK"}}) {
      assertEquals(
          List.of("0=5.0", ";"),
          read(sheet(String.format(sheet, (Object[]) right)), "\nS=OK;P=5\n"));
    }
    assertEquals(
        List.of("S=OK;P=5: field 1 is not what it must be"),
        read(sheet(String.format(sheet, "'field': 1", "OK")), "\nS=OK;P=5\n"));
  }

  @Test
  void beginAndChecksumAreTakenOffBeforeLabelsAreLookedFor() {
    assertEquals(
        List.of("0=1.5", "1=2.0", ";"),
        read(
            sheet(
                "{'separator': ';', 'label_mark': '=', 'checksum': {'kind': 'XOR', 'mark': '*',"
                    + " 'begin': '$'}, 'channels': [{'name': 'p', 'unit': 'Pa', 'label': 'P'},"
                    + " {'name': 't', 'unit': 'degC', 'label': 'T'}]}"),
            "$P=1.5;T=2*" + xor("P=1.5;T=2") + "\n"));
  }

  private static String xor(String covered) {
    return String.format("%02X", covered.chars().reduce(0, (a, b) -> a ^ b));
  }

  @Test
  void aPatternStandsBesideASeparatorAndTakesDecimalCommasToo() {
    assertEquals(
        List.of("0=12.5", "1=7.0", ";", "0=NaN", "1=7.0", ";"),
        read(
            sheet(
                "{'separator': ';', 'decimal': 'comma', 'pattern': 'x (\\\\S+);.*', 'channels':"
                    + " [{'name': 'a', 'unit': 'Pa', 'group': 1, 'overload': ['NaN']},"
                    + " {'name': 'b', 'unit': 'Torr', 'field': 2}]}"),
            "\nx 12,5;7\nx NaN;7\n"));
  }

  @Test
  void withoutAChecksumALineThatLostItsBeginningIsNotRead() {
    assertEquals(List.of("0=1.0", ";"), read(sheet("{" + ONE + "}]}"), "984\n1\n"));
  }

  @Test
  void aDamagedLineIsRejectedWithBothChecksums() {
    List<String> heard =
        read(SheetJson.shipped("two-channel-manometer"), "P1,+27.984,P2,+12.311*2E\r\n");
    assertEquals(List.of("P1,+27.984,P2,+12.311*2E: checksum 2E, but the line gives 2F"), heard);
  }

  @Test
  void fixedColumnsAreReadWhateverStandsBetween() {
    assertEquals(
        List.of("0=-12.5", "1=7.0", ";"),
        read(
            sheet(
                "{'channels': [{'name': 'a', 'unit': 'Pa', 'columns': [1, 8]},"
                    + " {'name': 'b', 'unit': 'Pa', 'columns': [12, 14]}]}"),
            "\n  -12.50Pa:  7 ,99\n"));
  }

  @Test
  void aPatternFindsNumbersAnywhere() {
    InstrumentSheet sheet =
        sheet(
            "{'pattern': 'p=(\\\\S+) mbar, t=(\\\\S+) C.*', 'channels':"
                + " [{'name': 'p', 'unit': 'mbar', 'group': 1},"
                + " {'name': 't', 'unit': 'degC', 'group': 2}]}");
    assertEquals(
        List.of("0=12.5", "1=21.0", ";", "p=12.5: does not match the pattern"),
        read(sheet, "\np=12.5 mbar, t=21 C ok\np=12.5\n"));
  }

  @Test
  void aPatternThatNeverEndsIsGivenUp() {
    InstrumentSheet sheet =
        sheet(
            "{'longest_line': 64, 'pattern': '(a+)+b', 'channels':"
                + " [{'name': 'p', 'unit': 'mbar', 'group': 1}]}");
    assertEquals(1, read(sheet, "\n" + "a".repeat(60) + "\n").size());
  }

  @Test
  void decimalCommasAndSemicolons() {
    assertEquals(
        List.of("0=1.5", "1=-0.25", ";"),
        read(
            sheet(
                "{'separator': ';', 'decimal': 'comma', 'channels':"
                    + " [{'name': 'a', 'unit': 'Pa', 'field': 1},"
                    + " {'name': 'b', 'unit': 'Pa', 'field': 2}]}"),
            "\n1,5;-0,25\n"));
  }

  @Test
  void labelsMayComeInAnyOrderAndOnDifferentLines() {
    InstrumentSheet sheet =
        sheet(
            "{'separator': ' ', 'label_mark': ':', 'channels':"
                + " [{'name': 'a', 'unit': 'Pa', 'label': 'A', 'optional': true},"
                + " {'name': 'b', 'unit': 'Pa', 'label': 'B', 'optional': true}]}");
    assertEquals(
        List.of("0=1.0", "1=2.0", ";", "1=3.0", ";", "C:4: none of its channels is there"),
        read(sheet, "\n B:2   A:1\nB:3\nC:4\n"));
  }

  @Test
  void aLineWithoutAChannelThatMustBeThereIsRejectedWhole() {
    InstrumentSheet sheet =
        sheet(
            "{'separator': ',', 'channels': [{'name': 'a', 'unit': 'Pa', 'label': 'A'},"
                + " {'name': 'b', 'unit': 'Pa', 'label': 'B'}]}");
    assertEquals(List.of("A,1,X,2: label B is missing"), read(sheet, "\nA,1,X,2\n"));
  }

  @Test
  void aStatusWordMakesANumberNoValueAndAnUnknownOneIsRejected() {
    InstrumentSheet sheet =
        sheet("{" + ONE + ", 'status': {'field': 2, 'good': ['OK'], 'overload': ['HI', 'LO']}}]}");
    assertEquals(
        List.of(
            "0=5.0",
            ";",
            "0=NaN",
            ";",
            "5,??: status \"??\" is neither good nor overload",
            "5: field 2 is missing"),
        read(sheet, "\n5,OK\n5,HI\n5,??\n5\n"));
  }

  @Test
  void scaleAndOffsetAreApplied() {
    assertEquals(
        List.of("0=25.0", ";"), read(sheet("{" + ONE + ", 'scale': 10, 'offset': 5}]}"), "\n2\n"));
  }

  @Test
  void aLineThatIsTooLongIsRejectedOnceAndTheNextIsRead() {
    InstrumentSheet sheet = sheet("{'longest_line': 10, 'terminator': '\\r\\n', " + ONE + "}]}");
    assertEquals(
        List.of("123456789012: no end of line within 10 bytes", "0=7.0", ";"),
        read(sheet, "\r\n" + "1234567890".repeat(50) + "\r\n7\r\n"));
    assertEquals(List.of("0=1.234567891E9", ";"), read(sheet, "\r\n1234567891\r\n"));
  }

  @Test
  void aChecksumMayStandBehindABeginningThatItDoesNotCover() {
    // Hand arithmetic: 'A' xor ',' xor '5' = 41 xor 2C xor 35 = 58.
    InstrumentSheet sheet =
        sheet(
            "{'checksum': {'kind': 'XOR', 'mark': '*', 'begin': '$'}, 'separator': ',',"
                + " 'channels': [{'name': 'a', 'unit': 'Pa', 'label': 'A'}]}");
    assertEquals(
        List.of(
            "0=5.0", ";", "A,5*58: does not begin as it should", "*58: too short for its checksum"),
        read(sheet, "$A,5*58\nA,5*58\n*58\n"));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{}|\"channels\" must name at least one channel",
        "{'channels': [{'name': 'a', 'unit': 'Pa'}]}|say where it stands",
        "{'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1, 'label': 'A'}]}|say where it stands",
        "{'channels': [{'name': 'A b', 'unit': 'Pa', 'field': 1}]}|use lower-case letters",
        "{'channels': [{'name': 'a', 'unit': 'pascals', 'field': 1}]}|no unit \"pascals\"",
        "{'channels': [{'name': 'a', 'unit': 'Pa', 'field': 0}]}|from 1 to 1000",
        "{'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1, 'scal': 2}]}|did you mean \"scale\"",
        "{'channels': [{'name': 'a', 'unit': 'Pa', 'columns': [5, 3]}]}|first and the last column",
        "{'channels': [{'name': 'a', 'unit': 'Pa', 'group': 1}]}|wants group 1",
        "{'pattern': '(', 'channels': [{'name': 'a', 'unit': 'Pa', 'group': 1}]}|\"pattern\"",
        "{'separator': ';;', 'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1}]}|one character",
        "{'separator': '.', 'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1}]}|the same character",
        "{'checksum': {'kind': 'CRC'}, 'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1}]}|no checksum \"CRC\"",
        "{'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1}, {'name': 'a', 'unit': 'Pa', 'field': 2}]}|named twice",
        "{'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1, 'unit_from': {'field': 2, 'names': {'x': 'mm'}}}]}|not a unit of pressure",
        "{'terminater': ';', 'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1}]}|did you mean \"terminator\"",
      })
  void aSheetThatDoesNotFitSaysWhereAndWhatToDo(String members, String message) {
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class, () -> new TextStreamDriver().channels(sheet(members)));
    assertTrue(refused.getMessage().contains(message), refused::getMessage);
    assertTrue(refused.getMessage().startsWith("sheet"), refused::getMessage);
  }

  private static InstrumentSheet sheet(String members) {
    return SheetJson.sheet("text-stream", members);
  }

  private static List<String> rounded(List<String> heard) {
    return heard.stream()
        .map(text -> text.replaceAll("(\\.\\d{2})0{3,}\\d*", "$1"))
        .collect(Collectors.toList());
  }

  private static List<String> read(InstrumentSheet sheet, String text) {
    List<String> heard = new ArrayList<>();
    for (Object thing : Transcript.received(text).play(new TextStreamDriver().newDecoder(sheet))) {
      if (thing instanceof Transcript.Reading reading) {
        heard.add(reading.channel() + "=" + reading.value());
      } else if (thing instanceof Rejected rejected) {
        heard.add(rejected.bytes() + ": " + rejected.reason());
      } else {
        heard.add(";");
      }
    }
    return heard;
  }
}
