package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Instrument;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.session.Drivers;
import meniscus.recorder.session.Feeds;

/** The bench file that the page works with; read anew each time, for text editors work too. */
final class BenchOfPage {

  private static final String SIMULATED_BENCH = "simulated-bench.json";
  private static final String SIMULATED_PLAN = "simulated-plan.json";

  private final Path file;
  private final Path data;
  private final Drivers drivers;

  BenchOfPage(Path file, Path data, Drivers drivers) {
    this.file = file;
    this.data = data;
    this.drivers = drivers;
  }

  /**
   * @throws Refused when there is none yet
   */
  Path file() throws Refused {
    if (!Files.exists(file)) {
      throw Refused.notNow("there is no bench file " + file + " yet: make one under Set-up");
    }
    return file;
  }

  /** True when every instrument is simulated; false when the bench cannot be read. */
  boolean simulated() {
    try {
      return Feeds.isSimulated(Feeds.wire(BenchFile.read(file), file, drivers));
    } catch (FileNotAccepted | IllegalArgumentException e) {
      return false;
    }
  }

  ObjectNode json() {
    ObjectNode json = Showing.object().put("file", file.getFileName().toString());
    if (!Files.exists(file)) {
      return json.put("stands", "missing");
    }
    try {
      Bench bench = BenchFile.read(file);
      json.put("stands", "ready").put("name", bench.name()).put("simulated", simulated());
      ArrayNode instruments = json.putArray("instruments");
      for (Instrument instrument : bench.instruments()) {
        instruments.addObject().put("id", instrument.id()).put("sheet", instrument.sheet());
      }
      return json;
    } catch (FileNotAccepted | IllegalArgumentException e) {
      return json.put("stands", "refused").put("why", String.valueOf(e.getMessage()));
    }
  }

  /** Writes bench and plan of the simulated bench, for trying things out; overwrites nothing. */
  void writeSimulated() throws Refused, IOException {
    if (Files.exists(file)) {
      throw Refused.notNow(file + " is there already; nothing was written");
    }
    Files.createDirectories(data);
    copy(SIMULATED_BENCH, file);
    Path plan = data.resolve("plan.json");
    if (!Files.exists(plan)) {
      copy(SIMULATED_PLAN, plan);
    }
  }

  private static void copy(String resource, Path to) throws IOException {
    try (InputStream in = BenchOfPage.class.getResourceAsStream(resource)) {
      if (in == null) {
        throw new IllegalStateException("the program has no " + resource + ": it is not whole");
      }
      Files.copy(in, to);
    }
  }
}
