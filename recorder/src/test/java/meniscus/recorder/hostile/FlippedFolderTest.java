package meniscus.recorder.hostile;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.Stream;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.page.PageServer;
import meniscus.recorder.record.Recorder;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * One bit of a test folder flipped, as by a disk that grows old: whoever reads it says so, or gives
 * the answer that the whole folder gives; nobody fails, and nobody changes what lies there.
 */
@Tag("long")
class FlippedFolderTest {

  private static final long SEED = 20321130;

  /** The only file that may be changed later, so no hash can tell a flip from a new word in it. */
  private static final String NOTES = "notes.json";

  @TempDir Path data;

  private final HttpClient client = HttpClient.newHttpClient();
  private final List<Reader> readers = new ArrayList<>();
  private Path folder;
  private PageServer page;

  /** What came of reading the folder. */
  private record Read(boolean refused, String answer, String said) {}

  private record Reader(String name, Call call) {
    interface Call {
      Read read() throws Exception;
    }
  }

  @BeforeEach
  void folder() throws IOException {
    Path files = Recorder.files(data);
    folder = data.resolve("one");
    Recorder.record(files, folder, "keep\nkeep\nstop\n");
    Recorder.record(files, data.resolve("two"), "keep\nkeep\nstop\n", "--seed", "2");
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
    Path two = data.resolve("two");
    command("recompute", folder, "--json");
    command("report", folder, "--out", data.resolve("report.html"));
    command("report", "--history", folder, two, "--out", data.resolve("history.html"));
    command("compare", folder, "--after", two, "--json");
    command("export", folder);
    command("export", folder, "--list");
    for (String path :
        List.of(
            "api/test-list",
            "api/test?name=one",
            "api/rung?name=one&rung=1",
            "api/plan-of-test?name=one",
            "api/change?before=one&after=two",
            "report?test=one")) {
      readers.add(new Reader("page " + path, () -> asked(path)));
    }
  }

  @AfterEach
  void close() {
    page.close();
  }

  private void command(Object... words) {
    readers.add(
        new Reader(
            Arrays.toString(words),
            () -> {
              Recorder.Ran ran = Recorder.run("", words);
              assertTrue(ran.exitCode() < 6, ran.exitCode() + ": " + ran.err());
              return new Read(ran.exitCode() != 0, ran.out(), ran.err());
            }));
  }

  private Read asked(String path) throws IOException, InterruptedException {
    HttpResponse<String> answer =
        client.send(
            HttpRequest.newBuilder(URI.create(page.address() + path)).build(),
            HttpResponse.BodyHandlers.ofString());
    assertTrue(answer.statusCode() < 500, answer.statusCode() + ": " + answer.body());
    return answer.statusCode() == 200
        ? new Read(false, answer.body(), answer.body())
        : new Read(true, "", answer.body());
  }

  @Test
  void aFlipIsSaidOrChangesNothing() throws Exception {
    flip(10, 1);
  }

  @Test
  @Tag("bench")
  void fiveHundredFlipsInEachFileForAllReaders() throws Exception {
    flip(500, readers.size());
  }

  /**
   * @param flips in each file
   * @param each so many readers are tried on each flip, in turn
   */
  private void flip(int flips, int each) throws Exception {
    Map<String, Read> whole = new TreeMap<>();
    for (Reader reader : readers) {
      Read read = reader.call.read();
      assertFalse(read.refused, reader.name + ": " + read.said);
      whole.put(reader.name, read);
    }
    Random random = new Random(SEED);
    int next = 0;
    int said = 0;
    int same = 0;
    for (Path file : files()) {
      byte[] was = Files.readAllBytes(file);
      for (int i = 0; i < flips && was.length > 0; i++) {
        byte[] flipped = was.clone();
        int at = random.nextInt(was.length);
        flipped[at] ^= (byte) (1 << random.nextInt(8));
        Files.write(file, flipped);
        for (int k = 0; k < each; k++) {
          Reader reader = readers.get(next++ % readers.size());
          String where =
              reader.name + ", " + file.getFileName() + ", byte " + at + ", seed " + SEED;
          Read read = reader.call.read();
          assertFalse((read.said + read.answer).contains("Exception"), where + ": " + read.said);
          boolean right = read.answer.equals(whole.get(reader.name).answer);
          boolean told =
              read.refused
                  || (read.said + read.answer).matches("(?s).*(not what was written|damaged).*");
          boolean maySay = file.endsWith(NOTES);
          assertTrue(right || told || maySay, where + ": " + read);
          said += told ? 1 : 0;
          same += right && !told ? 1 : 0;
        }
        assertArrayEquals(flipped, Files.readAllBytes(file), "left as it was");
      }
      Files.write(file, was);
    }
    for (Reader reader : readers) {
      assertEquals(whole.get(reader.name).answer, reader.call.read().answer, reader.name);
    }
    System.out.println(
        "flips: " + next + " looks, seed " + SEED + ": " + said + " said, " + same + " the same");
    assertTrue(said > next / 3, "most flips are said: " + said + " of " + next);
  }

  private List<Path> files() throws IOException {
    try (Stream<Path> all = Files.walk(folder)) {
      return all.filter(Files::isRegularFile).sorted().toList();
    }
  }
}
