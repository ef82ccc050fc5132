package meniscus.recorder.upkeep;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.Plate;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Text;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.file.CalmLine;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.KeptLine;
import meniscus.recorder.file.ReadingLine;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.signal.CalmFolder;

/**
 * What was read on plates for a calibration or a calm record that is not whole yet, in a file
 * beside the bench file: it is on the disk before the next plate is asked for, so that whoever is
 * interrupted need not mount the plates again. It is of use as long as the bench file is what it
 * was (a new zero makes it void) and for half a day.
 *
 * @param <L> one reading
 */
public final class ReadingsSoFar<L extends KeptLine> {

  private static final String FORMAT = "readings/1";
  private static final Duration OF_USE = Duration.ofHours(12);
  private static final ObjectMapper JSON = new ObjectMapper();

  /** What is read. */
  private interface Kind<L> {
    /** Such as "reading". */
    String word();

    /** What it is read for, such as "a calibration". */
    String purpose();

    /**
     * @throws FileNotAccepted when the line is of no use
     */
    L parse(String name, String line);

    /** Writes what does not fit on a line, if it is not written yet. */
    void write(L reading) throws IOException;

    /** Deletes what was written so. */
    void delete() throws IOException;
  }

  private final Path file;
  private final String benchSha256;
  private final Kind<L> kind;
  private final List<L> readings = new ArrayList<>();
  private Instant begun;
  private boolean written;

  private ReadingsSoFar(Path file, String benchSha256, Instant now, Kind<L> kind) {
    this.file = file;
    this.benchSha256 = benchSha256;
    this.begun = now;
    this.kind = kind;
  }

  /** Begins, or goes on where an interrupted calibration of this direction and range ended. */
  public static ReadingsSoFar<ReadingLine> ofCalibration(
      Path benchFile, Direction direction, Range range, BenchOperator operator)
      throws IOException, InterruptedException {
    return begun(
        benchFile, beside(benchFile, "calibrate", direction, range), new OnLines(), operator);
  }

  /**
   * Begins, or goes on where an interrupted calm record of this direction and range ended.
   *
   * @param seconds of each run; those of another length are recorded again [s]
   */
  public static ReadingsSoFar<CalmLine> ofCalm(
      Path benchFile, Direction direction, Range range, double seconds, BenchOperator operator)
      throws IOException, InterruptedException {
    Path stem = beside(benchFile, "calm", direction, range);
    return begun(benchFile, stem, new InFolder(Path.of(stem + "-runs"), seconds), operator);
  }

  private static Path beside(Path benchFile, String command, Direction direction, Range range) {
    return benchFile
        .toAbsolutePath()
        .resolveSibling(
            command
                + "-"
                + direction.word()
                + "-"
                + range.name().replaceAll("[^A-Za-z0-9-]+", "_"));
  }

  private static <L extends KeptLine> ReadingsSoFar<L> begun(
      Path benchFile, Path stem, Kind<L> kind, BenchOperator operator)
      throws IOException, InterruptedException {
    ReadingsSoFar<L> soFar =
        new ReadingsSoFar<>(
            Path.of(stem + ".readings"),
            Sha256.hex(Files.readAllBytes(benchFile)),
            Instant.now(),
            kind);
    soFar.takeUp(operator);
    return soFar;
  }

  /** Readings that are whole on their line. */
  private static final class OnLines implements Kind<ReadingLine> {
    @Override
    public String word() {
      return "reading";
    }

    @Override
    public String purpose() {
      return "a calibration";
    }

    @Override
    public ReadingLine parse(String name, String line) {
      return ReadingLine.parse(name, line);
    }

    @Override
    public void write(ReadingLine reading) {}

    @Override
    public void delete() {}
  }

  /** Calm runs, whose samples lie in a folder. */
  private static final class InFolder implements Kind<CalmLine> {
    private final Path folder;
    private final double seconds;
    private final Set<CalmLine> written = Collections.newSetFromMap(new IdentityHashMap<>());

    InFolder(Path folder, double seconds) {
      this.folder = folder;
      this.seconds = seconds;
    }

    @Override
    public String word() {
      return "run";
    }

    @Override
    public String purpose() {
      return "a calm record";
    }

    @Override
    public CalmLine parse(String name, String line) {
      CalmLine run = CalmLine.parse(name, line, new CalmFolder(folder)::added);
      if (run.seconds() != seconds) {
        throw new FileNotAccepted(
            Text.of(
                "%s: plate %s was recorded for %.0f s, not for %.0f s",
                name, run.plate(), run.seconds(), seconds));
      }
      written.add(run);
      return run;
    }

    @Override
    public void write(CalmLine reading) throws IOException {
      if (!written.contains(reading)) {
        new CalmFolder(folder).add(reading.run());
        written.add(reading);
      }
    }

    @Override
    public void delete() throws IOException {
      if (Files.isDirectory(folder)) {
        for (Path samples : CalmFolder.signals(folder)) {
          Files.delete(samples);
        }
        Files.delete(folder);
      }
    }
  }

  private void takeUp(BenchOperator operator) throws IOException, InterruptedException {
    if (!Files.isRegularFile(file)) {
      return;
    }
    List<String> lines =
        new String(Files.readAllBytes(file), StandardCharsets.UTF_8).lines().toList();
    Instant then = begun(lines).orElse(Instant.MIN);
    List<L> left = new ArrayList<>();
    for (int i = 1; i < lines.size(); i++) {
      try {
        left.add(kind.parse(file.getFileName() + ", line " + (i + 1), lines.get(i)));
      } catch (FileNotAccepted damaged) {
        operator.told(new UpkeepMessage.ReadAgain(damaged.getMessage()));
      }
    }
    if (left.isEmpty()) {
      return;
    }
    if (then.isBefore(begun.minus(OF_USE)) || then.isAfter(begun)) {
      operator.told(new UpkeepMessage.NotTakenOver(words(left)));
    } else if (operator.takesOver(words(left))) {
      readings.addAll(left);
      begun = then;
      written = true;
    }
  }

  /** When the file was begun; empty when it is of another bench file, or no such file. */
  private Optional<Instant> begun(List<String> lines) {
    try {
      JsonNode head = JSON.readTree(lines.isEmpty() ? "" : lines.get(0));
      return head.path("meniscus").asText().equals(FORMAT)
              && head.path("bench_sha256").asText().equals(benchSha256)
          ? Optional.of(Instant.parse(head.path("begun").asText()))
          : Optional.empty();
    } catch (JsonProcessingException | DateTimeException e) {
      return Optional.empty();
    }
  }

  private String words(List<L> left) {
    return Text.of(
        "%d %s%s on plate %s, left by %s that was interrupted,",
        left.size(),
        kind.word(),
        left.size() == 1 ? "" : "s",
        left.stream().map(KeptLine::plate).distinct().collect(Collectors.joining(", ")),
        kind.purpose());
  }

  /** What was read of a plate, mounted for that many times, at a test pressure. */
  Optional<L> of(Plate plate, int visit, double askedPa) {
    return readings.stream()
        .filter(line -> line.plate().equals(plate.name()))
        .filter(line -> line.visit() == visit && line.askedPa() == askedPa)
        .findFirst();
  }

  /** The same readings in the order they were taken: a drift shows in nothing else. */
  List<L> inOrderTaken(List<L> some) {
    return readings.stream().filter(some::contains).toList();
  }

  /**
   * Keeps one more; on the disk when this returns.
   *
   * @param operator is told when it could not be written: the run goes on in memory
   */
  void add(L reading, BenchOperator operator) {
    readings.add(reading);
    StringBuilder text = new StringBuilder();
    text.append(
        JSON.createObjectNode()
            .put("meniscus", FORMAT)
            .put("bench_sha256", benchSha256)
            .put("begun", begun.toString()));
    readings.forEach(line -> text.append('\n').append(line.text()));
    try {
      for (L each : readings) {
        kind.write(each);
      }
      WholeFile.write(file, text.append('\n').toString());
      written = true;
    } catch (IOException e) {
      operator.told(new UpkeepMessage.NotSafe(kind.word(), file, e.getMessage()));
    }
  }

  /** What they were read for is stored: they are no longer needed. */
  public void done() throws IOException {
    if (written) {
      Files.deleteIfExists(file);
      kind.delete();
    }
  }
}
