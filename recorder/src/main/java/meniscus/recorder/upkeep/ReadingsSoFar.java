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
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.Plate;
import meniscus.core.flow.Direction;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.ReadingLine;
import meniscus.recorder.file.WholeFile;

/**
 * The readings of a calibration that is not worked out yet, in a file beside the bench file: what
 * was read is on the disk before the next plate is asked for, so that whoever is interrupted need
 * not mount the plates again. Readings are of use as long as the bench file is what it was (a new
 * zero makes them void) and for half a day.
 */
public final class ReadingsSoFar {

  private static final String FORMAT = "readings/1";
  private static final Duration OF_USE = Duration.ofHours(12);
  private static final ObjectMapper JSON = new ObjectMapper();

  private final Path file;
  private final String benchSha256;
  private final List<ReadingLine> readings = new ArrayList<>();
  private Instant begun;
  private boolean written;

  private ReadingsSoFar(Path file, String benchSha256, Instant now) {
    this.file = file;
    this.benchSha256 = benchSha256;
    this.begun = now;
  }

  /** Begins, or goes on where an interrupted calibration of this direction and range ended. */
  public static ReadingsSoFar beside(
      Path benchFile, Direction direction, Range range, PlateRun.Operator operator)
      throws IOException, InterruptedException {
    String name =
        "calibrate-"
            + direction.word()
            + "-"
            + range.name().replaceAll("[^A-Za-z0-9-]+", "_")
            + ".readings";
    ReadingsSoFar soFar =
        new ReadingsSoFar(
            benchFile.toAbsolutePath().resolveSibling(name),
            CalibrationFile.sha256(Files.readAllBytes(benchFile)),
            Instant.now());
    soFar.takeUp(operator);
    return soFar;
  }

  private void takeUp(PlateRun.Operator operator) throws IOException, InterruptedException {
    if (!Files.isRegularFile(file)) {
      return;
    }
    List<String> lines =
        new String(Files.readAllBytes(file), StandardCharsets.UTF_8).lines().toList();
    Instant then = begun(lines).orElse(Instant.MIN);
    List<ReadingLine> left = new ArrayList<>();
    for (int i = 1; i < lines.size(); i++) {
      try {
        left.add(ReadingLine.parse(file.getFileName() + ", line " + (i + 1), lines.get(i)));
      } catch (FileNotAccepted damaged) {
        operator.told(damaged.getMessage() + "; it is read again");
      }
    }
    if (left.isEmpty()) {
      return;
    }
    if (then.isBefore(begun.minus(OF_USE)) || then.isAfter(begun)) {
      operator.told(
          words(left) + " are not used: the bench file, a zero perhaps, or the day changed");
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

  private static String words(List<ReadingLine> left) {
    return String.format(
        Locale.ROOT,
        "%d reading%s on plate %s, left by a calibration that was interrupted,",
        left.size(),
        left.size() == 1 ? "" : "s",
        left.stream()
            .map(line -> line.reading().plate())
            .distinct()
            .collect(Collectors.joining(", ")));
  }

  /** What was read of a plate at a test pressure. */
  Optional<ReadingLine> of(Plate plate, double askedPa) {
    return readings.stream()
        .filter(line -> line.reading().plate().equals(plate.name()) && line.askedPa() == askedPa)
        .findFirst();
  }

  /**
   * Keeps one more; on the disk when this returns.
   *
   * @param operator is told when it could not be written: the run goes on in memory
   */
  void add(ReadingLine reading, PlateRun.Operator operator) {
    readings.add(reading);
    StringBuilder text = new StringBuilder();
    text.append(
        JSON.createObjectNode()
            .put("meniscus", FORMAT)
            .put("bench_sha256", benchSha256)
            .put("begun", begun.toString()));
    readings.forEach(line -> text.append('\n').append(line.text()));
    try {
      WholeFile.write(file, text.append('\n').toString());
      written = true;
    } catch (IOException e) {
      operator.told(
          "NOT SAFE: this reading is in memory only, "
              + file
              + " cannot be written: "
              + e.getMessage()
              + ". Do not stop now; make room, and the next reading writes all of them");
    }
  }

  /** The calibration is stored: its readings are no longer needed. */
  public void done() throws IOException {
    if (written) {
      Files.deleteIfExists(file);
    }
  }
}
