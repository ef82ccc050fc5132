package meniscus.recorder.feed;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.bench.Source;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;

/**
 * Has a person read gauges, each once: the last reading of a gauge counts, so whoever mistypes
 * types it again. What is typed goes the way of all readings and comes back as a frame.
 */
final class GaugePrompts {

  /** A driver that makes nothing of what was typed holds nobody up for longer [s]. */
  private static final double LONGEST_TYPING_SECONDS = 1;

  private final Feed feed;
  private final GaugeReader reader;
  private final List<ByEye> moving;
  private final List<ByEye> gauges;
  private final String afterwards;
  private final boolean waitsForKeep;

  private final Map<ByEye, Look> read = new LinkedHashMap<>();

  /**
   * What was read of a gauge.
   *
   * @param value as it shows it [SI]; NaN where that is beyond the gauge
   * @param swing to either side [SI]
   */
  private record Look(double value, double swing) {}

  private boolean keeps;
  private double typedAt = Double.NEGATIVE_INFINITY;

  /**
   * @param moving gauges to be read, and to be read anew when the bench has moved
   * @param standing gauges to be read once; with none of either everything is read already
   * @param afterwards what happens, or is to be typed, once all is typed
   * @param waitsForKeep whether that is to be typed: nothing is taken before
   */
  GaugePrompts(
      Feed feed,
      GaugeReader reader,
      List<ByEye> moving,
      List<ByEye> standing,
      String afterwards,
      boolean waitsForKeep) {
    this.feed = feed;
    this.reader = reader;
    this.moving = moving;
    this.gauges = Stream.concat(moving.stream(), standing.stream()).toList();
    this.afterwards = afterwards;
    this.waitsForKeep = waitsForKeep;
  }

  /** Asks for all gauges. */
  void begin() {
    if (!gauges.isEmpty()) {
      ask("", "type what you read: " + names(gauges) + ", as \"" + example() + "\"; " + afterwards);
    }
  }

  /** What was typed of the moving gauges says nothing any more: asks for them anew. */
  void anew(String why) {
    read.keySet().removeAll(moving);
    keeps = false;
    ask(why, "set it, read anew and type " + names(moving));
  }

  /** Nothing is to be read any more. */
  void end() {
    if (!gauges.isEmpty()) {
      reader.wanted(GaugeReader.Wish.NOTHING);
    }
  }

  boolean complete() {
    return gauges.stream().noneMatch(this::wanted);
  }

  /** True once, when all is read and it was typed that it is to be kept. */
  boolean takesKeep() {
    boolean taken = keeps && complete();
    keeps = keeps && !taken;
    return taken;
  }

  /**
   * Takes what was typed.
   *
   * @throws LeftOut when this is to be left out
   */
  void listen() {
    boolean onItsWay =
        feed.typedAhead() > 0 && feed.now().seconds() - typedAt < LONGEST_TYPING_SECONDS;
    if (gauges.isEmpty() || onItsWay) {
      return;
    }
    Optional<String> line = reader.typed();
    if (line.isEmpty()) {
      return;
    }
    switch (line.get().toLowerCase(Locale.ROOT)) {
      case GaugeReader.SKIP -> throw new LeftOut();
      case GaugeReader.KEEP -> {
        keeps = complete();
        if (!keeps) {
          reader.told(new ReadingMessage.Incomplete(wanted()));
        }
      }
      default -> {
        typedAt = feed.now().seconds();
        feed.type(line.get()).map(ReadingMessage.NotTaken::new).ifPresent(reader::told);
      }
    }
  }

  /** Looks at what a frame brings; true when it is a reading of one of the gauges. */
  boolean arrived(Frame frame) {
    List<ByEye> brought = gauges.stream().filter(each -> !Double.isNaN(each.in(frame))).toList();
    for (ByEye each : brought) {
      Source.Measured gauge = each.gauge();
      double value = each.in(frame);
      boolean inside = value > gauge.lowSi() && value < gauge.highSi();
      read.put(each, new Look(inside ? value : Double.NaN, each.swingIn(frame)));
    }
    return !brought.isEmpty();
  }

  /** Says what has been read and what is still to be typed, or what comes next. */
  void sayWhatIsRead() {
    String said = read.keySet().stream().map(this::words).collect(Collectors.joining(", "));
    ask(said, complete() ? afterwards : ReadingMessage.stillWanted(wanted()));
  }

  private String words(ByEye each) {
    Look look = read.get(each);
    Unit unit = each.channel().unit();
    return each.channel().name()
        + (Double.isNaN(look.value())
            ? " is outside its gauge's range: type it again"
            : " "
                + Value.ofSi(look.value(), unit).toString(2)
                + (look.swing() > 0 ? " ± " + Value.ofSi(look.swing(), unit).toString(2) : ""));
  }

  private List<Channel> wanted() {
    return gauges.stream().filter(this::wanted).map(ByEye::channel).toList();
  }

  private boolean wanted(ByEye each) {
    return !read.containsKey(each) || Double.isNaN(read.get(each).value());
  }

  private void ask(String said, String next) {
    List<GaugeReader.Gauge> shown = new ArrayList<>();
    gauges.forEach(each -> shown.add(new GaugeReader.Gauge(each.channel(), wanted(each))));
    reader.wanted(
        new GaugeReader.Wish(said, next, shown, waitsForKeep && complete(), feed::refusal));
  }

  private static String names(List<ByEye> gauges) {
    return ReadingMessage.named(gauges.stream().map(ByEye::channel).toList());
  }

  /** A number, and low and high of a column that swings. */
  private String example() {
    return gauges.size() == 1
        ? gauges.get(0).channel().name() + " 28.1"
        : gauges.get(0).channel().name() + " 28.1; " + gauges.get(1).channel().name() + " 4.8..5.4";
  }
}
