package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.core.settle.GaugeTransfer;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.SignalJudge;
import meniscus.core.time.StreamTimes;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.signal.BadSignal;
import meniscus.recorder.signal.CalmFolder;
import meniscus.recorder.signal.SignalFile;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code meniscus judge}: averages recorded signals and says how steady each is. */
@Command(
    name = "judge",
    mixinStandardHelpOptions = true,
    description = {
      "Averages recorded signals and says of each whether the air was steady.",
      "Each file is one reading at one lift point, read in order as if it came in live."
    },
    footer = {
      "",
      "A file is a CSV with a header, a column of times in seconds and a column of values; an"
          + " empty",
      "value is a dropped reading.",
      "",
      "  meniscus judge rung-3.csv --calm bench/calm",
      "  meniscus judge recordings/ --json --target 0.25%%"
    })
final class JudgeCommand implements Callable<Integer> {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Pattern RANGE = Pattern.compile("\\s*(\\S+?)\\s*\\.\\.\\s*(\\S+)\\s*");
  private static final int MANY = 50;
  private static final long PROGRESS_NANOS = 2_000_000_000L;

  private final Console console;

  @Parameters(arity = "1..*", paramLabel = "FILE", description = "CSV files, or folders of them.")
  private List<Path> files;

  @Option(names = "--column", paramLabel = "NAME", description = "Column of values: value.")
  private String column = "value";

  @Option(names = "--time", paramLabel = "NAME", description = "Column of times: time_s.")
  private String time = "time_s";

  @Option(
      names = "--calm",
      paramLabel = "DIR",
      description = "Calm record: recordings of the same bench on an orifice plate.")
  private Path calm;

  @Option(
      names = "--target",
      paramLabel = "PERCENT",
      description = "Asked half width of the 95 %% interval over the mean: 0.5%%.")
  private String target = "0.5%";

  @Option(
      names = "--range",
      paramLabel = "\"LOW..HIGH\"",
      description = "The gauge's range, in the unit of the values.")
  private String range;

  @Option(
      names = "--gauge-mean",
      paramLabel = "TIME",
      description = "The gauge shows a moving mean of this length; a calm record tells by itself.")
  private String gaugeMean = "0 s";

  @Option(
      names = "--gauge-lag",
      paramLabel = "TIME",
      description = "First-order lag of gauge and hose; nothing tells it by itself.")
  private String gaugeLag = "0 s";

  @Option(names = "--json", description = "One JSON object a file.")
  private boolean json;

  JudgeCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws InterruptedException {
    JudgeSettings settings = settings();
    List<Path> all = signals();
    ExecutorService pool =
        Executors.newFixedThreadPool(
            Math.max(1, Math.min(all.size(), Runtime.getRuntime().availableProcessors())));
    try {
      List<Future<Judged>> answers = new ArrayList<>();
      for (Path file : all) {
        answers.add(pool.submit(() -> judged(file, settings)));
      }
      return print(all, answers);
    } finally {
      pool.shutdownNow();
    }
  }

  private int print(List<Path> all, List<Future<Judged>> answers) throws InterruptedException {
    int bad = 0;
    long said = System.nanoTime();
    for (int i = 0; i < all.size(); i++) {
      try {
        Judged judged = answers.get(i).get();
        if (json) {
          console.json(tree(all.get(i), judged));
        } else {
          console.say(line(all.get(i), judged));
        }
      } catch (ExecutionException e) {
        if (!(e.getCause() instanceof IOException)) {
          throw new IllegalStateException(all.get(i) + ": " + e.getCause(), e.getCause());
        }
        console.warn(message(all.get(i), (IOException) e.getCause()));
        bad++;
      }
      if (all.size() >= MANY && System.nanoTime() - said > PROGRESS_NANOS) {
        said = System.nanoTime();
        console.warn((i + 1) + " of " + all.size() + " judged");
      }
      if (console.outputGone()) {
        return ExitCode.DONE;
      }
    }
    return bad == 0 ? ExitCode.DONE : ExitCode.BAD_DATA;
  }

  private static String message(Path file, IOException e) {
    return e instanceof BadSignal ? e.getMessage() : file + ": cannot be read: " + e.getMessage();
  }

  private Judged judged(Path file, JudgeSettings settings) throws IOException {
    SignalJudge judge = new SignalJudge(settings);
    Reading reading = new Reading(judge);
    new SignalFile(file, time, column).read(reading);
    reading.finish();
    return judge.judged();
  }

  /** One file on its way to its judge, each value at the time at which it was taken. */
  private static final class Reading implements SignalFile.Sink {
    private final SignalJudge judge;
    private final StreamTimes times = new StreamTimes(this::taken);
    private boolean enough;

    Reading(SignalJudge judge) {
      this.judge = judge;
    }

    @Override
    public void written(double lastDecimal) {
      judge.quantum(lastDecimal);
    }

    @Override
    public boolean reading(double seconds, double value) {
      times.reading(seconds, value);
      return !enough;
    }

    private void taken(double seconds, double value) {
      if (!enough) {
        judge.sample(seconds, value);
        enough = judge.enough();
      }
    }

    void finish() {
      times.finish();
      if (!enough) {
        judge.finish();
      }
    }
  }

  private JudgeSettings settings() {
    JudgeSettings settings =
        JudgeSettings.usual()
            .withTarget(fraction())
            .through(
                new GaugeTransfer(
                    seconds("--gauge-mean", gaugeMean), seconds("--gauge-lag", gaugeLag)));
    if (range != null) {
      Matcher ends = RANGE.matcher(range);
      try {
        if (!ends.matches()) {
          throw new NumberFormatException();
        }
        settings =
            settings.withRange(
                Double.parseDouble(ends.group(1)), Double.parseDouble(ends.group(2)));
      } catch (IllegalArgumentException e) {
        throw CommandFailed.usage(
            "--range \"" + range + "\" is not a range; write low and high end as \"0..30\"");
      }
    }
    if (calm != null) {
      try {
        settings = settings.withCalm(new CalmFolder(calm).read(time, column).onOwnClocks());
      } catch (IOException e) {
        throw CommandFailed.data(message(calm, e));
      }
    }
    return settings;
  }

  private static double seconds(String option, String typed) {
    double asked;
    try {
      asked = Value.si(typed, Dimension.TIME);
    } catch (Refusal e) {
      throw CommandFailed.usage(option + ": " + e.getMessage());
    }
    if (!(asked >= 0)) {
      throw CommandFailed.usage(option + " " + typed + " must not be below zero");
    }
    return asked;
  }

  private double fraction() {
    double asked;
    try {
      asked = Value.si(target, Dimension.RATIO);
    } catch (Refusal e) {
      throw CommandFailed.usage("--target: " + e.getMessage());
    }
    if (!(asked > 0 && asked < 1)) {
      throw CommandFailed.usage("--target " + target + " must lie between 0 and 100 %");
    }
    return asked;
  }

  private List<Path> signals() {
    List<Path> all = new ArrayList<>();
    for (Path file : files) {
      if (!Files.isDirectory(file)) {
        all.add(file);
        continue;
      }
      try {
        List<Path> found = CalmFolder.signals(file);
        if (found.isEmpty()) {
          throw CommandFailed.data(file + ": holds no CSV");
        }
        all.addAll(found);
      } catch (IOException e) {
        throw CommandFailed.data(message(file, e));
      }
    }
    return all;
  }

  private static ObjectNode tree(Path file, Judged judged) {
    ObjectNode tree = JSON.createObjectNode().put("file", file.toString());
    JsonOut.exact(tree, "mean", judged.mean());
    JsonOut.exact(tree, "u95", judged.u95());
    tree.put("verdict", judged.verdict().word());
    tree.put("from_s", judged.fromSeconds()).put("to_s", judged.toSeconds());
    JsonOut.exact(tree, "precise_at_s", judged.span().preciseAtSeconds());
    tree.put("effective_samples", judged.effectiveSamples());
    tree.put("seen_to_hz", judged.air().seenToHertz());
    JsonOut.array(tree, "reasons", judged.reasons());
    JsonOut.exact(tree, "standard_error", judged.standardError());
    JsonOut.exact(tree, "unsteadiness", judged.unsteadiness());
    JsonOut.exact(tree, "could_hide", judged.air().couldHide());
    tree.putNull("mains");
    judged
        .air()
        .mains()
        .ifPresent(
            ripple ->
                tree.putObject("mains")
                    .put("alias_hz", ripple.aliasHertz())
                    .put("relative", ripple.relative()));
    judged
        .switching()
        .ifPresent(
            two -> {
              ObjectNode node = tree.putObject("switching");
              node.putArray("levels").add(two.low()).add(two.high());
              node.putArray("share").add(1 - two.shareHigh()).add(two.shareHigh());
              node.putArray("dwell_s").add(two.dwellLowSeconds()).add(two.dwellHighSeconds());
              node.put("jumps", two.jumps());
            });
    return tree;
  }

  private static String line(Path file, Judged judged) {
    StringBuilder line = new StringBuilder(file.toString()).append(": ");
    line.append(judged.verdict().word());
    if (judged.mean().isPresent()) {
      double mean = judged.mean().getAsDouble();
      double half = judged.u95().orElse(Double.NaN);
      line.append(Text.of(", %.6g ± %.2g (%.2g %%)", mean, half, 100 * half / Math.abs(mean)));
    }
    line.append(Text.of(", %.1f s to %.1f s", judged.fromSeconds(), judged.toSeconds()));
    judged
        .switching()
        .ifPresent(two -> line.append(Text.of(", levels %.5g and %.5g", two.low(), two.high())));
    if (!judged.reasons().isEmpty()) {
      line.append(": ").append(String.join("; ", judged.reasons()));
    }
    return line.toString();
  }
}
