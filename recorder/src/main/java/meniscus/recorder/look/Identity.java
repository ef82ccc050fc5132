package meniscus.recorder.look;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Request;
import meniscus.core.instrument.Settings;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;

/**
 * What an instrument answers to {@code *IDN?}, which every instrument of IEEE 488.2 understands
 * (10.14) and which changes nothing in it.
 *
 * @param answer as harmless text
 * @param model the second of its four fields, where that is plain text; else empty
 * @param baud the speed of the line that it was heard at; empty where a line has none
 */
public record Identity(String answer, String model, Optional<Integer> baud) {

  /** IEEE 488.2, 10.14.3: maker, model, serial number, version of its program. */
  private static final int FIELDS = 4;

  /** IEEE 488.2, 10.14.3, allows 72 characters; whoever sends more is cut. */
  private static final int LONGEST = 120;

  /** What serial instruments are most often set to (common practice, no source). */
  private static final List<Integer> BAUDS = List.of(9600, 115200);

  private static final String PLAIN = "[A-Za-z0-9][A-Za-z0-9 ._/+-]{0,39}";

  /**
   * Asks whoever is on a line.
   *
   * @param seconds how long to wait for an answer, at each speed of the line [s]
   * @return empty when nobody answers as the standard has it
   */
  static Optional<Identity> ask(
      LinePlace place, List<LineKind> lineKinds, Supplier<Moment> clock, double seconds)
      throws InterruptedException {
    for (Settings line : lines(place)) {
      Question question = new Question();
      LineReader reader = LineReader.start(Lines.opener(line, lineKinds), clock, question);
      try {
        question.over.await(Math.round(seconds * 1e3), TimeUnit.MILLISECONDS);
      } finally {
        reader.close();
      }
      reader.join(1_000);
      Optional<Identity> identity =
          of(question.heard(), Optional.of(line.whole("baud", 0, 0, 4_000_000)).filter(b -> b > 0));
      if (identity.isPresent()) {
        return identity;
      }
    }
    return Optional.empty();
  }

  private static List<Settings> lines(LinePlace place) {
    boolean serial = place.kind().equals("serial") || place.kind().equals("rfc2217");
    if (!serial) {
      return place.kind().equals("playback")
          ? List.of()
          : List.of(new Settings(place.text(), place.line()));
    }
    List<Settings> lines = new ArrayList<>();
    for (int baud : BAUDS) {
      Map<String, Object> members = new LinkedHashMap<>(place.line());
      members.put("baud", baud);
      lines.add(new Settings(place.text(), members));
    }
    return lines;
  }

  /** An answer, when the line is one; whatever it holds, it can be shown. */
  static Optional<Identity> of(String line, Optional<Integer> baud) {
    String[] fields = line.strip().split(",", -1);
    if (fields.length < FIELDS || fields[0].isBlank() || fields[1].isBlank()) {
      return Optional.empty();
    }
    String model = fields[1].strip();
    return Optional.of(
        new Identity(
            Printable.text(ByteBuffer.wrap(line.strip().getBytes(StandardCharsets.ISO_8859_1))),
            model.matches(PLAIN) ? model : "",
            baud));
  }

  /**
   * A sheet to start from: what the instrument measures, and in which unit, nobody can know from
   * its name.
   */
  public Map<String, Object> sheet() {
    Map<String, Object> sheet = new LinkedHashMap<>();
    sheet.put("meniscus", "sheet/1");
    sheet.put("name", answer);
    sheet.put(
        "notes",
        "Written by look, to start from: the instrument said who it is. Whether READ? is its"
            + " question, and Pa its unit, is a guess; docs/instrument-sheets.md says what else"
            + " there is.");
    sheet.put("driver", "scpi");
    baud.ifPresent(speed -> sheet.put("line", Map.of("kind", "serial", "baud", speed)));
    sheet.put("command_end", "\n"); // as it was asked
    if (!model.isEmpty()) {
      sheet.put("identity", model);
    }
    sheet.put(
        "asks",
        List.of(
            Map.of(
                "command",
                "READ?",
                "channels",
                List.of(Map.of("name", "reading", "unit", "Pa", "field", 1)))));
    return sheet;
  }

  /** A name for that sheet's file, without its ending. */
  public String sheetName() {
    String plain = model.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9]+", "-");
    return "scpi" + (plain.isEmpty() ? "" : "-" + plain.replaceFirst("-$", ""));
  }

  /** Sends the question once and gathers one line. */
  private static final class Question implements LineListener {

    final CountDownLatch over = new CountDownLatch(1);
    private final StringBuffer heard = new StringBuffer();

    /** The last whole line that came. */
    String heard() {
      String all = heard.toString();
      int end = all.lastIndexOf('\n');
      return end < 0 ? "" : all.substring(all.lastIndexOf('\n', end - 1) + 1, end);
    }

    @Override
    public Next opened(Moment at) {
      return new Next(List.of(Request.ofText("*IDN?\n")), Optional.empty());
    }

    @Override
    public Next bytes(Moment at, ByteBuffer bytes) {
      while (bytes.hasRemaining()) {
        heard.append((char) (bytes.get() & 0xff));
      }
      if (heard.indexOf("\n") >= 0 || heard.length() > LONGEST) {
        over.countDown();
      }
      return Next.NOTHING;
    }

    @Override
    public Next tick(Moment at) {
      return Next.NOTHING;
    }

    @Override
    public void lost(Moment at, String reason) {
      over.countDown();
    }

    @Override
    public void waiting(Moment at, String reason) {
      over.countDown();
    }

    @Override
    public void ended(Moment at) {
      over.countDown();
    }
  }
}
