package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import meniscus.core.quantity.Text;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.ParquetOption;
import meniscus.recorder.collection.Collected;
import meniscus.recorder.collection.Collected.LeftOut;
import meniscus.recorder.collection.Collection;
import meniscus.recorder.json.JsonOut;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code collect}: tests into a collection that any engine asks. */
@Command(
    name = "collect",
    mixinStandardHelpOptions = true,
    sortOptions = false,
    description = {
      "Adds tests, of one bench or of many, to a collection of Parquet files, which DuckDB, Spark,",
      "Trino, pandas and R ask by the million. A test that is there already is not added again."
    },
    footer = {
      "",
      "  meniscus collect tests --into collection --parquet-library duckdb_jdbc-2.0.0.1.jar",
      "  meniscus collect --into collection --compact --parquet-library duckdb_jdbc-2.0.0.1.jar",
      "",
      "A test that is damaged or unfinished is left out by name, and the exit code is 5. A run that",
      "is stopped has added nothing. Tables, columns and questions to ask: docs/many-benches.md."
    })
final class CollectCommand implements Callable<Integer> {

  private final Console console;

  @Parameters(
      arity = "0..*",
      paramLabel = "TEST",
      description = "Test folders, folders that hold test folders however deep, or zips of them.")
  private List<Path> places = List.of();

  @Option(
      names = "--into",
      required = true,
      paramLabel = "DIR",
      description = "The collection; begun when it is not there.")
  private Path into;

  @Option(
      names = "--samples",
      description = {
        "Begin a collection with every reading of every test, too:",
        "a hundred times as large, and more."
      })
  private boolean samples;

  @Option(
      names = "--compact",
      description =
          "Put small files together, into few of 32 to 256 MB; with or without new tests.")
  private boolean compact;

  @Mixin private ParquetOption parquetLibrary;

  @Option(names = "--json", description = "One JSON object: what came of it.")
  private boolean json;

  CollectCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    if (places.isEmpty() && !compact) {
      throw CommandFailed.usage("name test folders to collect, or ask for --compact");
    }
    if (Files.exists(into.resolve("datapackage.json"))) {
      throw CommandFailed.usage(into + " is a test folder, which is only read: choose another one");
    }
    try (Collection collection =
        Collection.open(
            into, parquetLibrary.jar(), samples ? Optional.of(true) : Optional.empty())) {
      Collected collected = places.isEmpty() ? Collected.NOTHING : collection.collect(places);
      if (compact) {
        collection.compact();
      }
      tell(collected, collection.stock());
      return collected.leftOut().isEmpty() ? ExitCode.DONE : ExitCode.DONE_WITH_DOUBT;
    } catch (IOException e) {
      throw CommandFailed.data(into + ": cannot be added to: " + e.getMessage());
    }
  }

  private void tell(Collected collected, Collection.Stock stock) {
    if (json) {
      console.json(object(collected, stock));
      return;
    }
    collected.leftOut().forEach(left -> console.warn("left out: " + sentence(left)));
    if (collected.typed() > 0) {
      console.warn(collected.typed() + " left out, for what was typed from elsewhere is no test");
    }
    if (collected.plates() > 0) {
      console.warn(
          collected.plates()
              + " left out, for readings of a plate are no test: what checks found is in the table"
              + " checks");
    }
    console.say(
        Text.of(
            "%d added, %d there already; now %d tests in %d files, %.1f MB",
            collected.added(),
            collected.already(),
            stock.tests(),
            stock.files(),
            stock.bytes() / 1e6));
  }

  private static String sentence(LeftOut left) {
    String folder = left.folder().toString();
    return left.why().contains(folder) ? left.why() : folder + " " + left.why();
  }

  private ObjectNode object(Collected collected, Collection.Stock stock) {
    ObjectNode object = JsonOut.object();
    object
        .put("into", into.toString())
        .put("added", collected.added())
        .put("already", collected.already())
        .put("typed", collected.typed())
        .put("plates", collected.plates());
    JsonOut.list(
        object,
        "left_out",
        collected.leftOut(),
        (node, one) ->
            node.put("folder", one.folder().toString())
                .put("kind", one.kind().word())
                .put("why", one.why()));
    return object
        .put("tests", stock.tests())
        .put("files", stock.files())
        .put("bytes", stock.bytes());
  }
}
