package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.TestEvent;
import meniscus.core.quantity.Unit;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonOut;

/**
 * The readings of one kept rung as they came in, before zero and calibration: thinned to what a
 * screen can show, keeping lowest and highest of each piece.
 */
final class RawRung implements JournalVisitor {

  private static final int PIECES = 500;

  private final int rung;
  private final List<List<double[]>> columns = new ArrayList<>();
  private final List<String> names = new ArrayList<>();
  private final List<Unit> units = new ArrayList<>();
  private final int[] firstColumn;
  private boolean within;
  private boolean kept;

  private RawRung(TestFolder test, int rung) {
    this.rung = rung;
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

  static ObjectNode of(TestFolder test, int rung) throws IOException, HttpError {
    RawRung raw = new RawRung(test, rung);
    test.replay(raw);
    if (!raw.kept) {
      throw HttpError.unknown("rung " + rung + " was not kept in this test");
    }
    return raw.json();
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
    event
        .what()
        .tell(
            new TestEvent.Reader() {
              @Override
              public void begun(TestEvent.Begun begun) {
                within = begun.rung() == rung;
                if (within) {
                  columns.forEach(List::clear);
                  kept = false;
                }
              }

              @Override
              public void kept(TestEvent.Kept one) {
                if (one.rung() == rung) {
                  within = false;
                  kept = true;
                }
              }
            });
  }

  private ObjectNode json() {
    ObjectNode json = JsonOut.object();
    ArrayNode channels = json.putArray("channels");
    double start =
        columns.stream()
            .filter(column -> !column.isEmpty())
            .mapToDouble(column -> column.get(0)[0])
            .min()
            .orElse(0);
    for (int i = 0; i < names.size(); i++) {
      ObjectNode channel = channels.addObject().put("name", names.get(i));
      channel.put("unit", units.get(i).symbol()).put("readings", columns.get(i).size());
      ArrayNode at = channel.putArray("at");
      ArrayNode low = channel.putArray("low");
      ArrayNode high = channel.putArray("high");
      List<double[]> rows = columns.get(i);
      int step = Math.max(1, (rows.size() + PIECES - 1) / PIECES);
      for (int from = 0; from < rows.size(); from += step) {
        List<double[]> piece = rows.subList(from, Math.min(rows.size(), from + step));
        at.add(rounded(piece.get(0)[0] - start));
        Unit unit = units.get(i);
        low.add(rounded(unit.fromSi(piece.stream().mapToDouble(row -> row[1]).min().orElse(0))));
        high.add(rounded(unit.fromSi(piece.stream().mapToDouble(row -> row[1]).max().orElse(0))));
      }
    }
    return json;
  }

  private static double rounded(double value) {
    return Math.rint(value * 1e6) / 1e6;
  }
}
