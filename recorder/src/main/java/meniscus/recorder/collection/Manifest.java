package meniscus.recorder.collection;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.StrictJson;
import meniscus.recorder.file.WholeFile;

/**
 * Which files a collection is made of: {@value #FILE}, a line for the collection and a line a file.
 * It is put in its place whole and last, so a file that it does not name is none of the collection.
 *
 * @param samples whether the readings themselves are collected too
 * @param files in the order in which they came
 */
record Manifest(boolean samples, List<Part> files) {

  static final String FILE = "manifest.jsonl";
  static final String FORMAT = "collection/1";

  private static final Pattern KNOWN = Pattern.compile("collection/1(\\.\\d{1,4})?");
  private static final Pattern PLACE =
      Pattern.compile("([a-z]+)/year=(-?\\d{1,9})/(\\d{6,9})-\\d{1,6}-\\d{1,6}\\.parquet");

  /**
   * A file of a collection.
   *
   * @param table of which it holds rows
   * @param year of the tests or checks in it (UTC)
   * @param path in the collection, with {@code /}
   * @param bytes of it
   */
  record Part(String table, int year, String path, long bytes) {

    /** Which run or compaction made it. */
    int run() {
      var place = PLACE.matcher(path);
      return place.matches() ? Integer.parseInt(place.group(3)) : 0;
    }
  }

  Manifest {
    files = List.copyOf(files);
  }

  /** Of a new collection. */
  static Manifest empty(boolean samples) {
    return new Manifest(samples, List.of());
  }

  List<Part> of(CollectedTable table) {
    return files.stream().filter(part -> part.table().equals(table.word())).toList();
  }

  /** A number that none of its files has. */
  int nextRun() {
    return 1 + files.stream().mapToInt(Part::run).max().orElse(0);
  }

  long bytes() {
    return files.stream().mapToLong(Part::bytes).sum();
  }

  Manifest with(List<Part> more) {
    return new Manifest(samples, Stream.concat(files.stream(), more.stream()).toList());
  }

  Manifest without(List<Part> fewer) {
    return new Manifest(samples, files.stream().filter(part -> !fewer.contains(part)).toList());
  }

  /**
   * @throws FileNotAccepted when it is newer than this program, or spoiled
   */
  static Manifest read(Path folder) throws IOException {
    Path file = folder.resolve(FILE);
    try (BufferedReader lines = Files.newBufferedReader(file, StandardCharsets.UTF_8)) {
      JsonNode first = line(file, lines.readLine());
      String format = first.path("meniscus").asText();
      if (!KNOWN.matcher(format).matches()) {
        throw new FileNotAccepted(
            format.startsWith("collection/")
                ? folder
                    + " is a collection of format \""
                    + format
                    + "\"; this program adds to "
                    + FORMAT
                    + ": use a newer version of it"
                : file + " is not of a collection: it has no \"meniscus\": \"" + FORMAT + "\"");
      }
      List<Part> parts = new ArrayList<>();
      for (String text = lines.readLine(); text != null; text = lines.readLine()) {
        parts.add(part(file, line(file, text)));
      }
      return new Manifest(first.path("samples").asBoolean(), parts);
    }
  }

  private static JsonNode line(Path file, String text) {
    try {
      return StrictJson.MAPPER.readTree(text == null ? "" : text);
    } catch (IOException e) {
      throw new FileNotAccepted(file + " is damaged: take it from a copy of the collection", e);
    }
  }

  private static Part part(Path file, JsonNode line) {
    String path = line.path("path").asText();
    if (!PLACE.matcher(path).matches()) {
      throw new FileNotAccepted(
          file + " names \"" + path + "\", which no collection holds: nothing was done");
    }
    return new Part(
        line.path("table").asText(), line.path("year").asInt(), path, line.path("bytes").asLong());
  }

  /** Puts it in the place of the one before. */
  void write(Path folder) throws IOException {
    String first =
        StrictJson.MAPPER
            .createObjectNode()
            .put("meniscus", FORMAT)
            .put("samples", samples)
            .toString();
    WholeFile.write(
        folder.resolve(FILE),
        files.stream()
            .map(
                part ->
                    StrictJson.MAPPER
                        .createObjectNode()
                        .put("table", part.table())
                        .put("year", part.year())
                        .put("path", part.path())
                        .put("bytes", part.bytes())
                        .toString())
            .collect(Collectors.joining("\n", first + "\n", "\n")));
  }
}
