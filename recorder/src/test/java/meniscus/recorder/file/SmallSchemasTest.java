package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import meniscus.drivers.sheet.ShippedSheets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The published forms of sheets, plates, curves, notes and calibrations, against real files. */
class SmallSchemasTest {

  @Test
  void everySheetOfTheCatalogueAndOfTheGuideHasTheForm() throws IOException {
    Schema schema = Schema.of("sheet-1");
    for (String name : ShippedSheets.names()) {
      assertEquals(List.of(), schema.complaints(ShippedSheets.json(name)), name);
    }
    for (String example : Docs.wholeExamples("instrument-sheets.md")) {
      assertEquals(List.of(), schema.complaints(example), example);
    }
  }

  /** What the form refuses the program refuses too. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          sheet/1                  | sheet/2
          "fields": 4              | "fields": "4"
          "separator"              | "seperator"
          "kind": "XOR"            | "kind": "XORR"
          "name": "test_pressure"  | "name": "Test pressure"
          "label": "P1"            | "lable": "P1"
          """)
  void aSlipInASheetIsSeenByFormAndProgram(String from, String to) {
    String good = ShippedSheets.json("two-channel-manometer");
    assertTrue(good.contains(from), from);
    assertFalse(Schema.of("sheet-1").complaints(good.replace(from, to)).isEmpty(), to);
  }

  @Test
  void platesCurvesAndNotesOfTheDocsHaveTheirForms() throws IOException {
    int seen = 0;
    try (Stream<Path> pages = Files.list(Docs.folder())) {
      for (Path page : pages.filter(file -> file.toString().endsWith(".md")).toList()) {
        for (String example : Docs.wholeExamples(page.getFileName().toString())) {
          for (String kind : List.of("plates", "curve", "notes", "calibration", "series")) {
            if (example.contains("\"" + kind + "/1\"")) {
              assertEquals(List.of(), Schema.of(kind + "-1").complaints(example), example);
              seen++;
            }
          }
        }
      }
    }
    assertTrue(seen > 0, "the docs hold none");
  }

  @Test
  void whatTheProgramWritesHasItsForm() throws IOException {
    Path fixtures = Path.of("src/test/resources/meniscus/recorder/formats");
    int seen = 0;
    try (Stream<Path> files = Files.walk(fixtures)) {
      for (Path file : files.filter(each -> each.toString().endsWith(".json")).toList()) {
        String text = Files.readString(file);
        for (String kind : List.of("plates", "curve", "notes", "calibration")) {
          if (text.contains("\"" + kind + "/1")) {
            assertEquals(List.of(), Schema.of(kind + "-1").complaints(text), file.toString());
            seen++;
          }
        }
      }
    }
    assertTrue(seen > 0, "no fixture holds one");
  }
}
