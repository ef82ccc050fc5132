package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.Request;
import meniscus.recorder.page.http.Response;
import meniscus.recorder.session.RungFlow;

/**
 * What one kept rung was read from: the flow, worked out again, and the readings as they came in,
 * before zero and calibration. Thinned to what a screen can show, keeping lowest and highest of
 * each piece; a narrower span is thinned less.
 */
final class RawRung implements JournalVisitor {

  private static final int PIECES = 500;

  /** Columns of a histogram: two levels and their valley are seen, noise of few readings is not. */
  private static final int BINS = 40;

  private final int rung;
  private final List<List<double[]>> columns = new ArrayList<>();
  private final List<String> names = new ArrayList<>();
  private final List<Unit> units = new ArrayList<>();
  private final int[] firstColumn;
  private final Span span;
  private boolean within;
  private boolean kept;

  /** What of the rung is looked at [s from its beginning]. */
  record Span(double from, double to) {
    static final Span ALL = new Span(Double.NEGATIVE_INFINITY, Double.POSITIVE_INFINITY);

    static Span of(Request asked) throws HttpError {
      return asked.one("from").isPresent()
          ? new Span(seconds(asked, "from"), seconds(asked, "to"))
          : ALL;
    }

    private static double seconds(Request asked, String name) throws HttpError {
      String text = asked.needed(name);
      if (!text.matches("-?\\d{1,9}(\\.\\d{1,18})?")) {
        throw HttpError.wrong("\"" + name + "\" is a number of seconds");
      }
      return Double.parseDouble(text);
    }
  }

  private RawRung(TestFolder test, int rung, Span span) {
    this.rung = rung;
    this.span = span;
    List<Header.Columns> instruments = test.instruments();
    firstColumn = new int[instruments.size()];
    for (int i = 0; i < instruments.size(); i++) {
      firstColumn[i] = names.size();
      for (Channel channel : instruments.get(i).channels()) {
        names.add(instruments.get(i).instrument() + "." + channel.name());
        units.add(channel.unit());
        columns.add(new ArrayList<>());
      }
    }
  }

  /** The rung that is asked for, of a test of the archive. */
  static Response of(Archive archive, Request asked) throws HttpError, IOException {
    String rung = asked.needed("rung");
    if (!rung.matches("\\d{1,4}")) {
      throw HttpError.wrong("\"rung\" is a number");
    }
    Span span = Span.of(asked);
    return Response.json(of(archive.open(asked.needed("name")), Integer.parseInt(rung), span));
  }

  static ObjectNode of(TestFolder test, int rung, Span span) throws IOException, HttpError {
    RawRung raw = new RawRung(test, rung, span);
    test.replay(raw);
    LiftPoint point =
        test.points().stream()
            .filter(one -> raw.kept && one.rung() == rung)
            .findFirst()
            .orElseThrow(() -> HttpError.unknown("rung " + rung + " was not kept in this test"));
    return raw.json(point, test);
  }

  /** Nothing where a test of an earlier program cannot be worked out again. */
  private static List<double[]> flow(LiftPoint point, TestFolder test) throws IOException {
    double flowPerArea = point.flowM3PerS() / point.effectiveAreaM2();
    try {
      return RungFlow.of(test, point.rung()).stream()
          .map(sample -> new double[] {sample[0], sample[1] * flowPerArea})
          .filter(sample -> Double.isFinite(sample[1]))
          .toList();
    } catch (Refusal e) {
      return List.of();
    }
  }

  @Override
  public void row(long momentNanos, int instrument, long present, double[] values) {
    if (!within) {
      return;
    }
    for (int channel = 0; channel < values.length; channel++) {
      if ((present >> channel & 1) == 1 && Double.isFinite(values[channel])) {
        columns
            .get(firstColumn[instrument] + channel)
            .add(new double[] {momentNanos * 1e-9, values[channel]});
      }
    }
  }

  @Override
  public void event(TestEvent event) {
    if (event.what() instanceof TestEvent.Begun begun) {
      within = begun.rung() == rung;
      if (within) {
        columns.forEach(List::clear);
        kept = false;
      }
    } else if (event.what() instanceof TestEvent.Kept one && one.rung() == rung) {
      within = false;
      kept = true;
    }
  }

  private ObjectNode json(LiftPoint point, TestFolder test) throws IOException {
    ObjectNode json = JsonOut.object();
    ArrayNode channels = json.putArray("channels");
    double start =
        columns.stream()
            .filter(column -> !column.isEmpty())
            .mapToDouble(column -> column.get(0)[0])
            .min()
            .orElse(0);
    addTo(channels, "flow", test.units().flow(), flow(point, test), start);
    for (int i = 0; i < names.size(); i++) {
      addTo(channels, names.get(i), units.get(i), columns.get(i), start);
    }
    return json;
  }

  private void addTo(ArrayNode channels, String name, Unit unit, List<double[]> all, double start) {
    List<double[]> rows =
        all.stream()
            .filter(row -> row[0] - start >= span.from && row[0] - start <= span.to)
            .toList();
    ObjectNode channel = channels.addObject().put("name", name);
    channel.put("unit", unit.symbol()).put("readings", rows.size());
    histogram(
        channel.putObject("histogram"),
        rows.stream().mapToDouble(row -> unit.fromSi(row[1])).toArray());
    ArrayNode at = channel.putArray("at");
    ArrayNode low = channel.putArray("low");
    ArrayNode high = channel.putArray("high");
    int step = Math.max(1, (rows.size() + PIECES - 1) / PIECES);
    for (int from = 0; from < rows.size(); from += step) {
      List<double[]> piece = rows.subList(from, Math.min(rows.size(), from + step));
      at.add(rounded(piece.get(0)[0] - start));
      low.add(rounded(unit.fromSi(piece.stream().mapToDouble(row -> row[1]).min().orElse(0))));
      high.add(rounded(unit.fromSi(piece.stream().mapToDouble(row -> row[1]).max().orElse(0))));
    }
  }

  /** How often each part of the range was read. */
  private static void histogram(ObjectNode json, double[] values) {
    double low = DoubleStream.of(values).min().orElse(0);
    double high = DoubleStream.of(values).max().orElse(0);
    int[] counts = new int[BINS];
    for (double value : values) {
      int bin = high > low ? (int) ((value - low) / (high - low) * BINS) : 0;
      counts[Math.min(bin, BINS - 1)]++;
    }
    json.put("low", rounded(low)).put("high", rounded(high));
    JsonOut.array(json, "counts", IntStream.of(counts).boxed().toList());
  }

  private static double rounded(double value) {
    return Math.rint(value * 1e6) / 1e6;
  }
}
