package meniscus.recorder.signal;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedWriter;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import meniscus.core.steadiness.CalmRecord;
import meniscus.core.steadiness.CalmRun;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.file.BandMembers;
import meniscus.recorder.file.WholeFile;

/**
 * A bench's calm record on disk: one CSV a run and {@code calm.json} that says at which flow,
 * range, direction and test pressure each was taken. CSVs alone are taken as runs at one flow.
 */
public record CalmFolder(Path folder) {
  /** The file that says what the others are. */
  public static final String INDEX = "calm.json";

  /** Ten minutes at 2 kHz are a tenth of this. */
  private static final int MOST_READINGS = 12_000_000;

  private static final int LARGEST_INDEX = 4 << 20;

  private static final String VERSION = "calm/1";
  private static final ObjectMapper JSON = new ObjectMapper();

  /** The record read last: what is learned from it takes seconds and serves test after test. */
  private static CalmRecord lastRead;

  private static int lastContent;

  /** Reads all runs. */
  public CalmRecord read(String timeColumn, String valueColumn) throws IOException {
    List<CalmRun> runs = new ArrayList<>();
    Map<String, JsonNode> index = index();
    for (Path file : signals(folder)) {
      String name = file.getFileName().toString();
      runs.add(run(file, index.remove(name), timeColumn, valueColumn));
    }
    if (!index.isEmpty()) {
      throw new BadSignal(folder.resolve(INDEX), "names " + index.keySet() + ", not in the folder");
    }
    if (runs.isEmpty()) {
      throw new BadSignal(folder, "holds no CSV; a calm record needs at least one run on a plate");
    }
    return CalmRecord.of(runs);
  }

  /**
   * Reads a calm record out of the bytes of its files, as a journal or a test folder holds them.
   *
   * @param files name to content, as they lie in the folder
   */
  public static synchronized CalmRecord of(Map<String, byte[]> files) throws IOException {
    int content =
        files.entrySet().stream()
            .mapToInt(file -> 31 * file.getKey().hashCode() + Arrays.hashCode(file.getValue()))
            .sum();
    if (lastRead == null || lastContent != content) {
      lastRead = unpacked(files);
      lastContent = content;
    }
    return lastRead;
  }

  private static CalmRecord unpacked(Map<String, byte[]> files) throws IOException {
    Path passing = Files.createTempDirectory("meniscus-calm");
    try {
      for (Map.Entry<String, byte[]> file : files.entrySet()) {
        Files.write(passing.resolve(Path.of(file.getKey()).getFileName()), file.getValue());
      }
      return new CalmFolder(passing).read("time_s", "value");
    } finally {
      try (Stream<Path> left = Files.list(passing)) {
        for (Path file : left.toList()) {
          Files.delete(file);
        }
      }
      Files.delete(passing);
    }
  }

  /** Writes runs and index; the folder must exist. A run read from a file keeps that name. */
  public void write(List<CalmRun> runs) throws IOException {
    ObjectNode index = JSON.createObjectNode().put("meniscus", VERSION);
    for (CalmRun run : runs) {
      String name = name(run);
      ObjectNode entry = index.withArray("runs").addObject().put("file", name);
      entry.put("range", run.range()).put("direction", run.direction());
      if (Double.isFinite(run.mean())) {
        entry.put("mean", run.mean());
      }
      if (Double.isFinite(run.testPressurePa())) {
        entry.put("pressure_pa", run.testPressurePa());
      }
      BandMembers.of(run.loud()).forEach(entry::put);
      rows(folder.resolve(name), run);
    }
    Files.writeString(
        folder.resolve(INDEX),
        JSON.writerWithDefaultPrettyPrinter().writeValueAsString(index) + "\n",
        StandardCharsets.UTF_8);
  }

  /** Writes one run whole, before there is an index; the folder is made where it is missing. */
  public void add(CalmRun run) throws IOException {
    WholeFile.write(folder.resolve(name(run)), part -> rows(part, run));
  }

  /**
   * A run that {@link #add} has written.
   *
   * @param known all of it but its samples
   */
  public CalmRun added(CalmRun known) throws IOException {
    Columns columns = columns(folder.resolve(name(known)), "time_s", "value");
    return known.with(
        Arrays.copyOf(columns.seconds, columns.size), Arrays.copyOf(columns.values, columns.size));
  }

  private static String name(CalmRun run) {
    return run.id().replaceFirst("(?i)\\.csv(\\.gz)?$", "") + ".csv";
  }

  /** What a bench file names the record by: the SHA-256 of {@code calm.json}. */
  public String indexSha256() throws IOException {
    return Sha256.hex(Files.readAllBytes(folder.resolve(INDEX)));
  }

  /** All signal files of a folder, by name. */
  public static List<Path> signals(Path folder) throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files
          .filter(file -> file.getFileName().toString().matches("(?i).+\\.csv(\\.gz)?"))
          .sorted()
          .toList();
    }
  }

  private static void rows(Path file, CalmRun run) throws IOException {
    double[] seconds = run.seconds();
    double[] values = run.values();
    try (BufferedWriter writer = Files.newBufferedWriter(file, StandardCharsets.UTF_8)) {
      writer.write("time_s,value\n");
      for (int i = 0; i < seconds.length; i++) {
        writer.write(seconds[i] + "," + (Double.isNaN(values[i]) ? "" : values[i]) + "\n");
      }
    }
  }

  private Map<String, JsonNode> index() throws IOException {
    Path file = folder.resolve(INDEX);
    Map<String, JsonNode> entries = new TreeMap<>();
    if (!Files.exists(file)) {
      return entries;
    }
    if (Files.size(file) > LARGEST_INDEX) {
      throw new BadSignal(file, "is larger than 4 MB: is it the right file?");
    }
    JsonNode root;
    try {
      root = JSON.readTree(new String(Files.readAllBytes(file), StandardCharsets.UTF_8));
    } catch (com.fasterxml.jackson.core.JsonProcessingException e) {
      throw new BadSignal(file, "is not JSON: " + e.getOriginalMessage());
    }
    String version = root.path("meniscus").asText(VERSION);
    if (!version.equals(VERSION)) {
      throw new BadSignal(
          file, "says \"" + version + "\"; this program reads " + VERSION + ": use a newer one");
    }
    for (JsonNode entry : root.path("runs")) {
      entries.put(entry.path("file").asText(), entry);
    }
    return entries;
  }

  private static CalmRun run(Path file, JsonNode entry, String timeColumn, String valueColumn)
      throws IOException {
    Columns columns = columns(file, timeColumn, valueColumn);
    JsonNode known = entry == null ? JSON.createObjectNode() : entry;
    return new CalmRun(
        file.getFileName().toString(),
        known.path("mean").asDouble(Double.NaN),
        new CalmRun.Where(
            known.path("range").asText(""),
            known.path("direction").asText(""),
            known.path("pressure_pa").asDouble(Double.NaN)),
        BandMembers.read(name -> known.path(name).asDouble(Double.NaN)),
        Arrays.copyOf(columns.seconds, columns.size),
        Arrays.copyOf(columns.values, columns.size));
  }

  private static Columns columns(Path file, String timeColumn, String valueColumn)
      throws IOException {
    Columns columns = new Columns();
    new SignalFile(file, timeColumn, valueColumn).read(columns);
    if (columns.size == MOST_READINGS) {
      throw new BadSignal(
          file, "has over " + MOST_READINGS + " rows: a calm run is a minute or two");
    }
    return columns;
  }

  private static final class Columns implements SignalFile.Sink {
    private double[] seconds = new double[1024];
    private double[] values = new double[1024];
    private int size;

    @Override
    public boolean reading(double second, double value) {
      if (size == seconds.length) {
        seconds = Arrays.copyOf(seconds, 2 * size);
        values = Arrays.copyOf(values, 2 * size);
      }
      seconds[size] = second;
      values[size++] = value;
      return size < MOST_READINGS;
    }
  }
}
