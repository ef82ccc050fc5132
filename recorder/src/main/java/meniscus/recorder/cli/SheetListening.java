package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Settings;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.LineOpener;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import meniscus.drivers.line.playback.RecordingListener;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.look.KnownSheet;
import meniscus.recorder.look.LinePlace;
import meniscus.recorder.look.SampleTiming;
import meniscus.recorder.look.SheetTrial;

/**
 * {@code listen --sheet}: bytes as they come, what the sheet reads in them, and what it does not.
 */
final class SheetListening {

  private static final int REASONS_SHOWN = 5;

  private final Console console;
  private final KnownSheet sheet;
  private final LineOpener opener;
  private final boolean json;
  private final List<Channel> channels;

  /** By reason: how often, and the last bytes. */
  private final Map<String, Integer> reasons = new TreeMap<>();

  /** Of the line's thread, until that has ended. */
  private final SampleTiming timing = new SampleTiming();

  private final CountDownLatch ended = new CountDownLatch(1);

  SheetListening(
      Console console, String sheetName, Optional<String> on, Drivers drivers, boolean json) {
    this.console = console;
    this.json = json;
    this.sheet = KnownSheet.named(sheetName, drivers);
    this.channels = sheet.channels();
    this.opener = opener(on, drivers);
  }

  private LineOpener opener(Optional<String> on, Drivers drivers) {
    Settings usual = sheet.file().line();
    try {
      return Lines.opener(
          on.map(where -> LinePlace.of(where).with(usual)).orElse(usual), drivers.lineKinds());
    } catch (Refusal e) {
      throw CommandFailed.usage(
          "where is the instrument? Give --on PLACE, see --help (" + e.getMessage() + ")");
    }
  }

  /**
   * Listens.
   *
   * @param seconds for how long; 0 until interrupted
   * @param keep where to write a recording of the line
   * @return the exit code: whether anything was read
   */
  int listen(double seconds, Optional<Path> keep) throws InterruptedException, IOException {
    SheetTrial trial = new SheetTrial(channels, sheet.newDecoder(), new Shown());
    try (Writer recording =
        keep.isPresent()
            ? Files.newBufferedWriter(keep.get(), StandardCharsets.UTF_8)
            : Writer.nullWriter()) {
      LineListener listener = keep.isPresent() ? RecordingListener.begin(trial, recording) : trial;
      long start = System.nanoTime();
      LineReader reader =
          LineReader.start(opener, () -> new Moment(System.nanoTime() - start), listener);
      try (reader) {
        wait(seconds);
      }
      reader.join(1_000);
    }
    summary(trial);
    return trial.frames() > 0 ? ExitCode.DONE : ExitCode.BENCH_FAULT;
  }

  private void wait(double seconds) throws InterruptedException {
    long until = System.nanoTime() + Math.round(seconds * 1e9);
    while (!ended.await(100, TimeUnit.MILLISECONDS)
        && (seconds == 0 || System.nanoTime() - until < 0)
        && !console.outputGone()) {
      // Till the time is up, the recording ends, or nobody reads what is written here.
    }
  }

  private void summary(SheetTrial trial) {
    if (json) {
      ObjectNode object = JsonOut.object();
      object.put("frames", trial.frames()).put("rejected", trial.rejects());
      timing
          .found()
          .ifPresent(
              found ->
                  object
                      .put("sample_interval_s", found.intervalSeconds())
                      .put("late_by_s", found.spreadSeconds()));
      synchronized (reasons) {
        ObjectNode why = object.putObject("reasons");
        reasons.forEach(why::put);
      }
      console.json(object);
      return;
    }
    console.say("");
    console.say(trial.frames() + " frames read, " + trial.rejects() + " rejected");
    timing
        .found()
        .ifPresent(
            found ->
                console.say(
                    Text.of(
                        "a sample every %.4g ms by its own counter; the latest line came %.2g ms"
                            + " later than the earliest, against its sample",
                        1e3 * found.intervalSeconds(), 1e3 * found.spreadSeconds())));
    synchronized (reasons) {
      reasons.entrySet().stream()
          .sorted(Map.Entry.<String, Integer>comparingByValue().reversed())
          .limit(REASONS_SHOWN)
          .forEach(reason -> console.say("  " + reason.getValue() + " × " + reason.getKey()));
    }
  }

  /** One line a thing, on the line's thread. */
  private final class Shown implements SheetTrial.Trace {

    /** Times are shown from the first thing that happened. */
    private Optional<Moment> first = Optional.empty();

    private double seconds(Moment at) {
      first = first.or(() -> Optional.of(at));
      return at.secondsSince(first.get());
    }

    @Override
    public void received(Moment at, String bytes) {
      text(at, "<", "received", bytes);
    }

    @Override
    public void sent(Moment at, String bytes) {
      text(at, ">", "sent", bytes);
    }

    @Override
    public void noted(Moment at, String text) {
      text(at, "#", "note", text);
    }

    @Override
    public void rejected(Rejected rejected) {
      synchronized (reasons) {
        reasons.merge(rejected.reason(), 1, Integer::sum);
      }
      if (json) {
        console.json(
            at(rejected.at()).put("rejected", rejected.bytes()).put("reason", rejected.reason()));
      } else {
        show(rejected.at(), "!", rejected.bytes() + "   " + rejected.reason());
      }
    }

    @Override
    public void frame(Moment at, double[] values, boolean[] given) {
      ObjectNode read = JsonOut.object();
      StringBuilder text = new StringBuilder();
      for (int c = 0; c < values.length; c++) {
        if (given[c]) {
          Channel channel = channels.get(c);
          if (channel.name().equals(Channel.SAMPLE_INDEX)) {
            timing.add(at, values[c]);
          }
          boolean none = Double.isNaN(values[c]);
          text.append(text.isEmpty() ? "" : ", ").append(channel.name()).append(' ');
          String unit = channel.unit() == Unit.ONE ? "" : " " + channel.unit().symbol();
          text.append(none ? "no value" : Digits.text(values[c]) + unit);
          if (none) {
            read.putNull(channel.name());
          } else {
            read.put(channel.name(), Digits.given(values[c]));
          }
        }
      }
      if (json) {
        ObjectNode object = at(at);
        object.set("frame", read);
        console.json(object);
      } else {
        show(at, "=", text.toString());
      }
    }

    @Override
    public void ended() {
      ended.countDown();
    }

    private void text(Moment at, String sign, String name, String text) {
      if (json) {
        console.json(at(at).put(name, text));
      } else {
        show(at, sign, text);
      }
    }

    private ObjectNode at(Moment at) {
      return JsonOut.object().put("at_s", seconds(at));
    }

    private void show(Moment at, String sign, String text) {
      console.say(Text.of("%9.3f %s %s", seconds(at), sign, text));
    }
  }
}
