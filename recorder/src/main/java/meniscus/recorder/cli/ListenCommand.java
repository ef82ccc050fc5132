package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Scanner;
import java.util.concurrent.Callable;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.time.Moment;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.PluginsOption;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.json.JsonOut;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code listen}: live readings of a bench, as the instruments give them. */
@Command(
    name = "listen",
    mixinStandardHelpOptions = true,
    description = {
      "Shows live readings of every channel, as the instruments give them: before zero and",
      "calibration. Suck gently on a hose: the right channel must move, and the right way.",
      "",
      "With --sheet instead of --bench: one line, byte by byte. What came (<), what was sent (>),",
      "what the sheet reads in it (=), what it does not and why (!)."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus listen --bench bench.json",
      "  meniscus listen --bench bench.json --seconds 10 --json",
      "  meniscus listen --sheet my-gauge.json --on /dev/ttyUSB0",
      "  meniscus listen --sheet my-gauge.json --on tcp:10.0.0.20:4001 --keep gauge.recording",
      "  meniscus listen --sheet my-gauge.json --on play:gauge.recording"
    })
final class ListenCommand implements Callable<Integer> {

  private final Console console;

  @Option(names = "--bench", paramLabel = "FILE", description = "the bench file")
  private Optional<Path> bench = Optional.empty();

  @Option(
      names = "--sheet",
      paramLabel = "SHEET",
      description = "an instrument sheet: the path of a file, or the name of a shipped one")
  private Optional<String> sheet = Optional.empty();

  @Option(
      names = "--on",
      paramLabel = "PLACE",
      description = {
        "with --sheet, where the instrument is: a serial port, tcp:HOST:PORT,",
        "rfc2217:HOST:PORT or play:FILE (default: as the sheet's line says)"
      })
  private Optional<String> on = Optional.empty();

  @Option(
      names = "--keep",
      paramLabel = "FILE",
      description = "with --sheet: write all bytes to a recording, to be played back")
  private Optional<Path> keep = Optional.empty();

  @Option(
      names = "--seconds",
      paramLabel = "N",
      defaultValue = "0",
      description = "stop after this long; 0 goes on until Ctrl-C")
  private double seconds;

  @Option(names = "--json", description = "one JSON object a second")
  private boolean json;

  @Option(names = "--quick", description = "simulated bench: in simulated time")
  private boolean quick;

  @Mixin private PluginsOption plugins;

  ListenCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    if (bench.isPresent() == sheet.isPresent()) {
      throw CommandFailed.usage(
          "give --bench FILE for a whole bench, or --sheet SHEET for one line");
    }
    if (sheet.isEmpty() && (on.isPresent() || keep.isPresent())) {
      throw CommandFailed.usage("--on and --keep go with --sheet");
    }
    try {
      return bench.isPresent()
          ? listen(bench.get())
          : new SheetListening(console, sheet.get(), on, plugins.drivers(console), json)
              .listen(seconds, keep);
    } catch (IOException e) {
      throw CommandFailed.data("the recording cannot be written: " + e.getMessage());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private int listen(Path benchFile) throws InterruptedException {
    Bench described = BenchFile.read(benchFile);
    Feeds.Simulation usual = Feeds.Simulation.usual();
    Feeds.Simulation simulation = new Feeds.Simulation(quick, usual.seed(), usual.mounted());
    boolean heard = false;
    try (Feed feed =
        Feeds.open(described, benchFile, plugins.drivers(console), simulation, Moment.START)
            .feed()) {
      Ledger ledger = new Ledger(described, feed.channels());
      if (feed.takesTyping()) {
        Thread typed = new Thread(() -> type(feed), "typed readings");
        typed.setDaemon(true);
        typed.start();
      }
      double until = seconds > 0 ? seconds : Double.POSITIVE_INFINITY;
      double shownAt = 0;
      while (feed.now().seconds() < until && !console.outputGone()) {
        Optional<BenchEvent> happening = feed.next(0.1);
        happening.ifPresent(ledger::take);
        if (happening.map(ListenCommand::isEnd).orElse(false)) {
          break;
        }
        if (feed.now().seconds() - shownAt >= 1) {
          shownAt = feed.now().seconds();
          heard |= show(ledger, shownAt);
        }
      }
      heard |= show(ledger, feed.now().seconds());
    }
    return heard ? ExitCode.DONE : ExitCode.BENCH_FAULT;
  }

  /** What is typed is a reading of the instruments that are read by eye. */
  private void type(Feed feed) {
    try (Scanner lines = new Scanner(console.in(), StandardCharsets.UTF_8)) {
      while (lines.hasNextLine()) {
        String line = lines.nextLine();
        if (!line.isBlank()) {
          feed.type(line).ifPresent(console::warn);
        }
      }
    }
  }

  private static boolean isEnd(BenchEvent happening) {
    return happening instanceof BenchEvent.Ended;
  }

  private boolean show(Ledger ledger, double atSeconds) {
    if (json) {
      console.json(ledger.json(atSeconds));
    } else {
      ledger.lines().forEach(console::say);
      console.say("");
    }
    return ledger.startSecond();
  }

  /** What came in the last second, channel by channel. */
  private final class Ledger {
    private final Bench described;
    private final List<List<Channel>> channels;
    private final double[][] sums;
    private final int[][] counts;
    private final int[][] overloads;
    private final int[] rejects;
    private final String[] lost;

    Ledger(Bench described, List<List<Channel>> channels) {
      this.described = described;
      this.channels = channels;
      int instruments = channels.size();
      this.sums = new double[instruments][];
      this.counts = new int[instruments][];
      this.overloads = new int[instruments][];
      this.rejects = new int[instruments];
      this.lost = new String[instruments];
      for (int i = 0; i < instruments; i++) {
        sums[i] = new double[channels.get(i).size()];
        counts[i] = new int[channels.get(i).size()];
        overloads[i] = new int[channels.get(i).size()];
        lost[i] = "";
      }
    }

    void take(BenchEvent happening) {
      happening.fold(
          arrived -> add(arrived.frame()),
          unread -> ++rejects[unread.instrument()],
          gone -> lost[gone.instrument()] = gone.reason(),
          back -> lost[back.instrument()] = "",
          ended -> null,
          remark -> {
            console.warn(
                described.instruments().get(remark.instrument()).id() + ": " + remark.text());
            return null;
          });
    }

    private Object add(Frame frame) {
      int i = frame.instrument();
      lost[i] = "";
      for (int c = 0; c < frame.valuesSi().length; c++) {
        double value = frame.valuesSi()[c];
        if (value == Frame.OVERLOAD) {
          overloads[i][c]++;
        } else if (!Double.isNaN(value)) {
          sums[i][c] += value;
          counts[i][c]++;
        }
      }
      return null;
    }

    List<String> lines() {
      List<String> lines = new java.util.ArrayList<>();
      for (int i = 0; i < channels.size(); i++) {
        String id = described.instruments().get(i).id();
        for (int c = 0; c < channels.get(i).size(); c++) {
          Channel channel = channels.get(i).get(c);
          lines.add(
              Text.of(
                  "%-32s %s",
                  id + "." + channel.name(),
                  counts[i][c] == 0
                      ? overloads[i][c] > 0 ? "over range" : "–"
                      : Text.of(
                          "%12.4f %-6s %5d readings",
                          mean(i, c, channel.unit()), channel.unit().symbol(), counts[i][c])));
        }
        if (rejects[i] > 0) {
          lines.add(id + ": " + rejects[i] + " frames could not be read");
        }
        if (!lost[i].isEmpty()) {
          lines.add(id + ": " + lost[i]);
        }
      }
      return lines;
    }

    ObjectNode json(double atSeconds) {
      ObjectNode object = JsonOut.object().put("at_s", Digits.given(atSeconds));
      ObjectNode readings = object.putObject("channels");
      for (int i = 0; i < channels.size(); i++) {
        String id = described.instruments().get(i).id();
        for (int c = 0; c < channels.get(i).size(); c++) {
          Channel channel = channels.get(i).get(c);
          ObjectNode reading = readings.putObject(id + "." + channel.name());
          reading.put("unit", channel.unit().symbol());
          reading.put("readings", counts[i][c]).put("over_range", overloads[i][c]);
          if (counts[i][c] > 0) {
            reading.put("mean", Digits.given(mean(i, c, channel.unit())));
          } else {
            reading.putNull("mean");
          }
        }
        if (!lost[i].isEmpty()) {
          object.withObject("/lost").put(id, lost[i]);
        }
        if (rejects[i] > 0) {
          object.withObject("/rejected").put(id, rejects[i]);
        }
      }
      return object;
    }

    private double mean(int instrument, int channel, Unit unit) {
      return unit.fromSi(sums[instrument][channel] / counts[instrument][channel]);
    }

    /**
     * Forgets the last second.
     *
     * @return whether anything was heard in it
     */
    boolean startSecond() {
      boolean heard = false;
      for (int i = 0; i < sums.length; i++) {
        for (int c = 0; c < sums[i].length; c++) {
          heard |= counts[i][c] > 0;
          sums[i][c] = 0;
          counts[i][c] = 0;
          overloads[i][c] = 0;
        }
        rejects[i] = 0;
      }
      return heard;
    }
  }
}
