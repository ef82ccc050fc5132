package meniscus.drivers.sheet;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.ServiceLoader;
import java.util.stream.Stream;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every sheet of docs/sheets against its recording, in which stands, as remarks, what must be read
 * and what must be rejected.
 */
class CatalogueTest {

  private static final Path FOLDER = Path.of("..", "docs", "sheets");

  static List<String> names() {
    return ShippedSheets.names();
  }

  @Test
  void everySheetOfTheFolderIsShippedAndHasARecording() throws IOException {
    try (Stream<Path> files = Files.list(FOLDER)) {
      List<String> there =
          files
              .map(file -> file.getFileName().toString())
              .filter(name -> name.endsWith(".json"))
              .map(name -> name.substring(0, name.length() - 5))
              .sorted()
              .toList();
      assertEquals(there, ShippedSheets.names());
    }
  }

  @ParameterizedTest
  @MethodSource("names")
  void readsItsRecordingAsTheRecordingSays(String name) throws IOException {
    SheetFile sheet = SheetFile.of(SheetJson.settings(name, ShippedSheets.json(name)));
    InstrumentDriver driver =
        ServiceLoader.load(InstrumentDriver.class).stream()
            .map(ServiceLoader.Provider::get)
            .filter(each -> each.id().equals(sheet.instrument().driver()))
            .findFirst()
            .orElseThrow();
    List<Channel> channels = driver.channels(sheet.instrument());
    Transcript came = Transcript.empty();
    List<String> expected = new ArrayList<>();
    StringBuilder received = new StringBuilder();
    for (String line : Files.readAllLines(FOLDER.resolve("recordings").resolve(name + ".txt"))) {
      if (line.startsWith("# = ") || line.startsWith("# ! ")) {
        expected.add(line.substring(2));
      } else if (line.matches("\\d+ [<>] .*")) {
        String[] parts = line.split(" ", 3);
        if (parts[1].equals("<")) {
          came = came.at(new Moment(Long.parseLong(parts[0])), bytes(parts[2]));
          received.append(parts[2]);
        } else {
          expected.add("> " + parts[2]);
        }
      }
    }
    assertFalse(sheet.example().isEmpty(), "an example line");
    assertTrue(received.toString().contains(sheet.example()), "the example is in the recording");
    assertEquals(expected, said(came.play(driver.newDecoder(sheet.instrument())), channels));
    assertEquals(expected, said(came.play(driver.newDecoder(sheet.instrument()), 1), channels));
  }

  private static List<String> said(List<Object> all, List<Channel> channels) {
    List<String> said = new ArrayList<>();
    List<String> frame = new ArrayList<>();
    for (Object one : all) {
      if (one instanceof Transcript.Reading reading) {
        frame.add(text(channels.get(reading.channel()), reading.value()));
      } else if (one instanceof Transcript.Frame) {
        said.add("= " + String.join(", ", frame));
        frame.clear();
      } else if (one instanceof Rejected rejected) {
        said.add("! " + rejected.bytes());
      } else if (one instanceof Transcript.Sent sent) {
        said.add("> " + Printable.whole(sent.request().bytes()));
      }
    }
    return said;
  }

  private static String text(Channel channel, double value) {
    if (Double.isNaN(value)) {
      return channel.name() + " no value";
    }
    String number =
        value == 0
            ? "0"
            : BigDecimal.valueOf(value)
                .round(new MathContext(7))
                .stripTrailingZeros()
                .toPlainString();
    String unit = channel.unit().symbol();
    return channel.name() + " " + number + (unit.equals("1") ? "" : " " + unit);
  }

  /** The recording's own writing of bytes, read here once more by hand. */
  private static byte[] bytes(String text) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c != '\\') {
        bytes.writeBytes(String.valueOf(c).getBytes(StandardCharsets.ISO_8859_1));
        continue;
      }
      char kind = text.charAt(++i);
      switch (kind) {
        case 'r' -> bytes.write('\r');
        case 'n' -> bytes.write('\n');
        case 'x' -> {
          bytes.write(Integer.parseInt(text.substring(i + 1, i + 3), 16));
          i += 2;
        }
        default -> bytes.write(kind);
      }
    }
    return bytes.toByteArray();
  }
}
