package meniscus.recorder.look;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Settings;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import meniscus.recorder.file.SheetFiles;

/**
 * Which sheets recognise what comes over a line. Only listens; sheets that ask are tried when that
 * is wanted, one after the other.
 */
public final class SheetGuess {

  /** A sheet fits when it reads this many frames … */
  private static final int LEAST_FRAMES = 2;

  /** … and rejects no more than the first, which may have been cut, and one in this many. */
  private static final int FRAMES_A_REJECT = 10;

  /** So many good frames need no more time … */
  private static final int ENOUGH_FRAMES = 20;

  /** … or so many answers. */
  private static final int ENOUGH_ANSWERS = 3;

  private static final int LONGEST_EXAMPLE = 80;

  /** Of several sheets that fit, a person's own is meant, then the one that checks most. */
  private static final Comparator<KnownSheet> MEANT =
      Comparator.nullsLast(
          Comparator.comparing((KnownSheet sheet) -> !SheetFiles.isOwn(sheet.name()))
              .thenComparingInt(sheet -> -sheet.strictness()));

  private final List<LineKind> lineKinds;
  private final Supplier<Moment> clock;
  private final double seconds;
  private final boolean ask;

  /**
   * @param seconds how long each try lasts
   * @param ask whether sheets that ask may send their questions
   */
  public SheetGuess(List<LineKind> lineKinds, Supplier<Moment> clock, double seconds, boolean ask) {
    this.lineKinds = List.copyOf(lineKinds);
    this.clock = clock;
    this.seconds = seconds;
    this.ask = ask;
  }

  /**
   * How one sheet did.
   *
   * @param frames read
   * @param rejects not read
   */
  public record Tried(KnownSheet sheet, int frames, int rejects) {

    public boolean fits() {
      return frames >= LEAST_FRAMES && rejects <= 1 + frames / FRAMES_A_REJECT;
    }
  }

  /**
   * What was found on one line.
   *
   * @param tried all sheets that were tried, best first
   * @param example of what came, as harmless text; empty when nothing came
   * @param trouble why the line could not be listened to
   * @param identity who answers, where asking was wanted and no sheet fits
   */
  public record Outcome(
      LinePlace place,
      List<Tried> tried,
      String example,
      Optional<String> trouble,
      Optional<Identity> identity) {

    public Outcome {
      tried =
          tried.stream()
              .sorted(
                  Comparator.comparing((Tried each) -> !each.fits())
                      .thenComparing(each -> each.fits() ? each.sheet() : null, MEANT)
                      .thenComparingDouble(each -> (each.rejects() + 1.0) / (each.frames() + 1.0)))
              .toList();
    }

    /** The sheet that fits best, when one does. */
    public Optional<Tried> best() {
      return tried.stream().filter(Tried::fits).findFirst();
    }
  }

  /** Listens to one line with all sheets that could be meant for it. */
  public Outcome at(LinePlace place, List<KnownSheet> sheets) throws InterruptedException {
    Map<Map<String, Object>, List<KnownSheet>> together = new LinkedHashMap<>();
    for (KnownSheet sheet : sheets.stream().sorted(MEANT).toList()) {
      boolean asks = sheet.asks();
      if (sheet.mayBeAt(place) && (ask || !asks)) {
        Map<String, Object> line = new LinkedHashMap<>(sheet.lineAt(place));
        if (asks) {
          line.put("asked by", sheet.name());
        }
        together.computeIfAbsent(line, key -> new ArrayList<>()).add(sheet);
      }
    }
    List<Tried> tried = new ArrayList<>();
    String example = "";
    Optional<String> trouble = Optional.empty();
    for (List<KnownSheet> group : together.values()) {
      if (group.get(0).asks() && tried.stream().anyMatch(Tried::fits)) {
        continue; // whoever has answered is not asked in another language
      }
      Fan fan = new Fan(group);
      listen(place, group.get(0), fan);
      fan.addTo(tried);
      example = example.isEmpty() ? fan.example() : example;
      trouble = fan.trouble.isEmpty() ? trouble : Optional.of(fan.trouble);
    }
    return new Outcome(
        place,
        tried,
        example,
        tried.isEmpty() || example.isEmpty() ? trouble : Optional.empty(),
        ask && trouble.isEmpty() && tried.stream().noneMatch(Tried::fits)
            ? Identity.ask(place, lineKinds, clock, seconds)
            : Optional.empty());
  }

  private void listen(LinePlace place, KnownSheet first, Fan fan) throws InterruptedException {
    Settings line = place.with(first.file().line());
    LineReader reader = LineReader.start(Lines.opener(line, lineKinds), clock, fan);
    try {
      fan.enough.await(Math.round(seconds * 1e3), TimeUnit.MILLISECONDS);
    } finally {
      reader.close();
    }
    reader.join(1_000);
  }

  /** Gives what comes to several sheets at once; all of them only listen, or there is just one. */
  private static final class Fan implements LineListener {

    final CountDownLatch enough = new CountDownLatch(1);
    private final List<KnownSheet> sheets;
    private final List<SheetTrial> trials = new ArrayList<>();
    private final boolean asks;
    private final StringBuffer heard = new StringBuffer();
    private volatile String trouble = "";

    Fan(List<KnownSheet> sheets) {
      this.sheets = sheets;
      this.asks = sheets.get(0).asks();
      for (KnownSheet sheet : sheets) {
        trials.add(new SheetTrial(sheet.channels(), sheet.newDecoder(), new SheetTrial.Trace() {}));
      }
    }

    void addTo(List<Tried> tried) {
      for (int i = 0; i < trials.size(); i++) {
        tried.add(new Tried(sheets.get(i), trials.get(i).frames(), trials.get(i).rejects()));
      }
    }

    String example() {
      return heard.toString();
    }

    @Override
    public Next opened(Moment at) {
      return each(trial -> trial.opened(at));
    }

    @Override
    public Next bytes(Moment at, ByteBuffer bytes) {
      if (heard.length() < LONGEST_EXAMPLE) {
        heard.append(Printable.text(bytes));
      }
      Next next = each(trial -> trial.bytes(at, bytes.duplicate()));
      bytes.position(bytes.limit());
      int plenty = asks ? ENOUGH_ANSWERS : ENOUGH_FRAMES;
      if (trials.stream().anyMatch(trial -> trial.frames() >= plenty)) {
        enough.countDown();
      }
      return next;
    }

    @Override
    public Next tick(Moment at) {
      return each(trial -> trial.tick(at));
    }

    private interface Told {
      Next by(SheetTrial trial);
    }

    private Next each(Told told) {
      Next last = Next.NOTHING;
      for (SheetTrial trial : trials) {
        last = told.by(trial);
      }
      return trials.size() == 1 ? last : Next.NOTHING;
    }

    @Override
    public void lost(Moment at, String reason) {
      trouble = reason;
    }

    @Override
    public void waiting(Moment at, String reason) {
      trouble = reason;
      enough.countDown();
    }

    @Override
    public void ended(Moment at) {
      enough.countDown();
    }
  }
}
