package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import meniscus.core.quantity.Text;
import meniscus.recorder.archive.Pack;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.OutPlace;
import meniscus.recorder.cli.terminal.SearchOption;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.zip.ZipDisk;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code pack}: tests into one zip. */
@Command(
    name = "pack",
    mixinStandardHelpOptions = true,
    description = {
      "Packs tests into one zip, each with its bench, calibration, calm record, sheets, notes and",
      "photos. Every command that reads a test folder reads the zip in its place; any other program",
      "unpacks it. The same tests give the same zip."
    },
    footer = {
      "",
      "  meniscus pack tests/before tests/after --into job-7.zip",
      "  meniscus pack tests --part heron --into heron.zip",
      "  meniscus compare job-7.zip/before --after job-7.zip/after",
      "  meniscus report --history heron.zip",
      "",
      "A zip that holds one test alone stands for that test: meniscus recompute intake-1.zip."
    })
final class PackCommand implements Callable<Integer> {

  private final Console console;

  @Parameters(
      arity = "1..*",
      paramLabel = "TEST",
      description = "Test folders, or folders that hold test folders.")
  private List<Path> places;

  @Option(
      names = "--into",
      required = true,
      paramLabel = "FILE.zip",
      description = "The zip to write.")
  private Path into;

  @Option(names = "--replace", description = "Write over FILE.zip when it is there already.")
  private boolean replace;

  @Mixin private SearchOption search;

  @Option(names = "--json", description = "One JSON object: what was packed.")
  private boolean json;

  PackCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    if (!into.toString().toLowerCase(Locale.ROOT).endsWith(ZipDisk.ENDING)) {
      throw CommandFailed.usage(into + ": end the name after --into in .zip");
    }
    OutPlace.check(into, replace);
    try {
      tell(Pack.write(into, search.find(places)));
      warnOfPlates();
    } catch (IOException e) {
      throw CommandFailed.data(into + ": cannot be written: " + e.getMessage());
    }
    return ExitCode.DONE;
  }

  private void warnOfPlates() {
    int plates = TestArchive.plates(places);
    if (plates > 0) {
      console.warn(
          plates
              + " left out, for readings of a plate are no test: take their folders along as they"
              + " are");
    }
  }

  private void tell(Pack pack) {
    if (json) {
      ObjectNode object = JsonOut.object();
      object.put("file", pack.file().toString()).put("bytes", pack.bytes());
      ArrayNode tests = object.putArray("tests");
      for (Pack.Packed test : pack.tests()) {
        tests.addObject().put("name", test.name()).put("files", test.files());
      }
      console.json(object);
      return;
    }
    pack.tests().forEach(test -> console.say(pack.file().resolve(test.name()).toString()));
    console.warn(
        pack.tests().size()
            + (pack.tests().size() == 1 ? " test" : " tests")
            + Text.of(" packed, %.1f MB", pack.bytes() / 1e6));
  }
}
