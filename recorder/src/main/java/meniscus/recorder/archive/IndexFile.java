package meniscus.recorder.archive;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonFactoryBuilder;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadFeature;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.recorder.file.PlateFile;
import meniscus.recorder.file.WholeFile;

/**
 * The index as JSON lines: a first line that says what it is, then one array a finished test or
 * plate, its values in the order in which they are read here. Read and written value by value, so
 * that nothing is in memory but what is remembered. Anything that does not fit makes it an empty
 * one: it is only a memory.
 */
final class IndexFile {

  private static final String FORMAT = "index/4";
  private static final String TEST = "test";
  private static final String PLATE = "plate";
  private static final JsonFactory JSON =
      new JsonFactoryBuilder()
          .rootValueSeparator("\n")
          .enable(StreamReadFeature.USE_FAST_DOUBLE_PARSER)
          .build();

  private IndexFile() {}

  /**
   * @param alike where values are kept that many tests have in common
   */
  static IndexContent read(Path file, Alike alike) {
    IndexContent content = IndexContent.empty();
    try (InputStream bytes = Files.newInputStream(file);
        JsonParser in = JSON.createParser(bytes)) {
      if (!text(in).equals(FORMAT)) {
        return IndexContent.empty();
      }
      while (in.nextToken() != null) {
        expect(in.currentToken(), JsonToken.START_ARRAY);
        if (text(in).equals(PLATE)) {
          content.add(plate(in));
        } else {
          content.add(test(in, alike));
        }
        expect(in.nextToken(), JsonToken.END_ARRAY);
      }
    } catch (IOException | RuntimeException unreadable) {
      return IndexContent.empty();
    }
    return content;
  }

  static void write(Path file, IndexContent content) throws IOException {
    WholeFile.write(
        file,
        part -> {
          try (OutputStream bytes = new BufferedOutputStream(Files.newOutputStream(part));
              JsonGenerator out = JSON.createGenerator(bytes)) {
            out.writeString(FORMAT);
            for (IndexEntry entry : content.tests().values()) {
              if (!entry.stamp().isEmpty()) {
                write(out, entry);
              }
            }
            for (PlateEntry plate : content.plates().values()) {
              if (!plate.stamp().isEmpty()) {
                write(out, plate);
              }
            }
          }
        });
  }

  private static void write(JsonGenerator out, IndexEntry entry) throws IOException {
    TestSummary known = entry.known().orElseThrow();
    out.writeStartArray();
    texts(out, TEST, entry.name(), entry.stamp(), known.title(), known.at().toString());
    Plan.Units units = known.units();
    texts(out, units.lift().code(), units.flow().code(), units.pressure().code());
    Plan.Part part = known.part();
    texts(out, part.head(), part.chamber(), part.port(), part.valveJob(), part.customerReference());
    texts(out, known.port().name(), known.direction().name());
    TestSummary.Rungs rungs = known.rungs();
    out.writeNumber(rungs.count());
    out.writeNumber(rungs.testPressurePa());
    out.writeNumber(rungs.aimBand());
    out.writeNumber(rungs.toleranceM());
    out.writeNumber(rungs.target());
    out.writeNumber(rungs.longestSeconds());
    list(out, known.changes());
    list(out, known.follows().stream().toList());
    out.writeStartArray();
    for (TestSummary.Spot spot : known.spots()) {
      out.writeNumber(spot.liftM());
      out.writeNumber(spot.flowM3PerS());
    }
    out.writeEndArray();
    out.writeNumber(known.points());
    out.writeNumber(known.doubtful());
    out.writeEndArray();
  }

  private static IndexEntry test(JsonParser in, Alike alike) throws IOException {
    return IndexEntry.finished(
        text(in),
        text(in),
        new TestSummary(
                text(in),
                Instant.parse(text(in)),
                new Plan.Units(
                    Unit.named(text(in), Dimension.LENGTH),
                    Unit.named(text(in), Dimension.VOLUME_FLOW),
                    Unit.named(text(in), Dimension.PRESSURE)),
                new Plan.Part(text(in), text(in), text(in), text(in), text(in)),
                PortKind.valueOf(text(in)),
                Direction.valueOf(text(in)),
                new TestSummary.Rungs(
                    count(in), number(in), number(in), number(in), number(in), number(in)),
                list(in),
                list(in).stream().findFirst(),
                spots(in),
                count(in),
                count(in))
            .sharing(alike));
  }

  private static void write(JsonGenerator out, PlateEntry plate) throws IOException {
    PlateSummary known = plate.known();
    out.writeStartArray();
    texts(out, PLATE, plate.name(), plate.stamp(), known.at().toString(), known.bench());
    out.writeString(PlateFile.text(known.plate()));
    out.writeStartArray();
    for (PlateSummary.Flow flow : known.flows()) {
      out.writeNumber(flow.testPressurePa());
      out.writeNumber(flow.m3PerS());
      out.writeNumber(flow.u95M3PerS().orElse(Double.NaN));
      out.writeNumber(flow.effectiveAreaM2());
    }
    out.writeEndArray();
    out.writeEndArray();
  }

  private static PlateEntry plate(JsonParser in) throws IOException {
    String name = text(in);
    return new PlateEntry(
        name,
        text(in),
        new PlateSummary(
            Instant.parse(text(in)), text(in), PlateFile.parse(name, text(in)), flows(in)));
  }

  private static List<PlateSummary.Flow> flows(JsonParser in) throws IOException {
    List<PlateSummary.Flow> flows = new ArrayList<>();
    expect(in.nextToken(), JsonToken.START_ARRAY);
    while (in.nextToken() != JsonToken.END_ARRAY) {
      double testPressurePa = value(in);
      double m3PerS = number(in);
      double u95 = number(in);
      flows.add(
          new PlateSummary.Flow(
              testPressurePa,
              m3PerS,
              Double.isNaN(u95) ? OptionalDouble.empty() : OptionalDouble.of(u95),
              number(in)));
    }
    return flows;
  }

  /** Lift and flow by turns. */
  private static List<TestSummary.Spot> spots(JsonParser in) throws IOException {
    List<TestSummary.Spot> spots = new ArrayList<>();
    expect(in.nextToken(), JsonToken.START_ARRAY);
    while (in.nextToken() != JsonToken.END_ARRAY) {
      spots.add(new TestSummary.Spot(value(in), number(in)));
    }
    return spots;
  }

  private static void texts(JsonGenerator out, String... texts) throws IOException {
    for (String text : texts) {
      out.writeString(text);
    }
  }

  private static void list(JsonGenerator out, List<String> texts) throws IOException {
    out.writeStartArray();
    texts(out, texts.toArray(String[]::new));
    out.writeEndArray();
  }

  private static List<String> list(JsonParser in) throws IOException {
    List<String> texts = new ArrayList<>();
    expect(in.nextToken(), JsonToken.START_ARRAY);
    while (in.nextToken() != JsonToken.END_ARRAY) {
      texts.add(in.getText());
    }
    return texts;
  }

  private static String text(JsonParser in) throws IOException {
    expect(in.nextToken(), JsonToken.VALUE_STRING);
    return in.getText();
  }

  private static int count(JsonParser in) throws IOException {
    expect(in.nextToken(), JsonToken.VALUE_NUMBER_INT);
    return in.getIntValue();
  }

  private static double number(JsonParser in) throws IOException {
    in.nextToken();
    return value(in);
  }

  /** What is no number stands there as a text. */
  private static double value(JsonParser in) throws IOException {
    return in.hasToken(JsonToken.VALUE_STRING)
        ? Double.parseDouble(in.getText())
        : in.getDoubleValue();
  }

  private static void expect(JsonToken there, JsonToken needed) throws IOException {
    if (there != needed) {
      throw new IOException(needed + " was expected, " + there + " is there");
    }
  }
}
