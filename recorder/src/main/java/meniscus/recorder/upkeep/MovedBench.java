package meniscus.recorder.upkeep;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.Upkeep;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.BenchHome;
import meniscus.recorder.file.WholeFile;

/** What a bench file is that was moved or copied, once a person has said it. */
public final class MovedBench {

  private MovedBench() {}

  /** The bench is the same one: its file is at home here as well. */
  public static void same(Path file) throws IOException {
    Bench bench = BenchFile.read(file);
    Set<String> homes = new TreeSet<>(bench.identity().homes());
    homes.add(BenchHome.of(file));
    UUID id = bench.identity().id().orElseGet(UUID::randomUUID);
    BenchFile.write(file, bench.as(bench.identity().as(id, homes)));
  }

  /**
   * The file is another bench's from now on: nothing that was learned of the first one counts. The
   * file as it was stays beside it.
   *
   * @return the file as it was
   */
  public static Path another(Path file) throws IOException {
    Bench bench = BenchFile.read(file);
    String id = bench.identity().id().map(UUID::toString).orElse("nobody").substring(0, 6);
    Path before = file.resolveSibling("of-" + id + "-" + file.getFileName());
    WholeFile.write(before, Files.readAllBytes(file));
    BenchFile.write(
        file,
        bench
            .as(bench.identity().as(UUID.randomUUID(), Set.of(BenchHome.of(file))))
            .with(any -> Upkeep.none(Epoch.FIRST)));
    return before;
  }
}
