package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import meniscus.core.bench.Bench;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.drivers.line.FoundLine;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.SheetFiles;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.look.Identity;
import meniscus.recorder.look.KnownSheet;
import meniscus.recorder.look.LinePlace;
import meniscus.recorder.look.SheetGuess;
import meniscus.recorder.look.StartingBench;
import picocli.CommandLine.Option;

/** The part of {@code look} that listens: which sheets fit what comes, and a bench file of them. */
final class Guesses {

  private static final double LONGEST_SECONDS = 600;

  @Option(
      names = "--guess",
      description = {
        "listen to each line for a few seconds and say which sheets recognise what comes.",
        "Opening a serial port restarts some microcontroller boards"
      })
  private boolean guess;

  @Option(
      names = "--on",
      paramLabel = "PLACE",
      description = {
        "with --guess, only here: a serial port, tcp:HOST:PORT, rfc2217:HOST:PORT or play:FILE;",
        "may be given several times (default: all serial ports found)"
      })
  private List<String> on = new ArrayList<>();

  @Option(
      names = "--ask",
      description = {
        "with --guess: also try sheets whose instruments speak only when asked; their questions",
        "are then sent, and where none fits *IDN?, by which SCPI instruments say who they are.",
        "Only where no instrument would do something on hearing them"
      })
  private boolean ask;

  @Option(
      names = "--sheets",
      paramLabel = "DIR",
      description = "with --guess: also try the sheets in this folder")
  private Optional<Path> sheets = Optional.empty();

  @Option(
      names = "--seconds",
      paramLabel = "N",
      defaultValue = "4",
      description = {
        "how long to listen: with --guess for each setting of a line, with --bench to the whole",
        "bench (default 4)"
      })
  private double seconds;

  @Option(
      names = "--write",
      paramLabel = "FILE",
      description = "with --guess: write a bench file to start from; a file that is there is kept")
  private Optional<Path> write = Optional.empty();

  private final List<String> faults = new ArrayList<>();

  /** What was found out; empty when not asked for. */
  List<SheetGuess.Outcome> outcomes(List<FoundLine> found, Drivers drivers)
      throws InterruptedException {
    if (!guess) {
      if (ask || sheets.isPresent() || write.isPresent() || !on.isEmpty()) {
        throw CommandFailed.usage("--on, --ask, --sheets and --write go with --guess");
      }
      return List.of();
    }
    seconds();
    if (write.isPresent() && Files.exists(write.get())) {
      throw CommandFailed.usage(write.get() + " is there already; nothing was done");
    }
    List<KnownSheet> known = known(drivers);
    long start = System.nanoTime();
    SheetGuess guesses =
        new SheetGuess(
            drivers.lineKinds(), () -> new Moment(System.nanoTime() - start), seconds, ask);
    List<SheetGuess.Outcome> outcomes = new ArrayList<>();
    for (LinePlace place : places(found)) {
      outcomes.add(guesses.at(place, known));
    }
    return outcomes;
  }

  private List<KnownSheet> known(Drivers drivers) {
    List<KnownSheet> known = new ArrayList<>(KnownSheet.shipped(drivers));
    Path own = SheetFiles.ownFolder();
    if (Files.isDirectory(own)) {
      add(own, drivers, known);
    }
    sheets.ifPresent(folder -> add(folder, drivers, known));
    return known;
  }

  private void add(Path folder, Drivers drivers, List<KnownSheet> known) {
    try {
      KnownSheet.Folder found = KnownSheet.in(folder, drivers);
      known.addAll(found.sheets());
      faults.addAll(found.faults());
    } catch (IOException e) {
      throw CommandFailed.usage("there is no folder " + folder + " that can be read");
    }
  }

  double seconds() {
    if (!(seconds >= 0.1 && seconds <= LONGEST_SECONDS)) {
      throw CommandFailed.usage("--seconds lies between 0.1 and " + LONGEST_SECONDS);
    }
    return seconds;
  }

  /** Whether a bench file is to be written of what was found. */
  boolean writes() {
    return guess && write.isPresent();
  }

  /** Sheets that could not be tried, and why. */
  List<String> faults() {
    return faults;
  }

  private List<LinePlace> places(List<FoundLine> found) {
    try {
      return on.isEmpty()
          ? found.stream()
              .filter(line -> line.kind().equals("serial"))
              .map(line -> LinePlace.of(line.port()))
              .toList()
          : on.stream().map(LinePlace::of).toList();
    } catch (Refusal e) {
      throw CommandFailed.usage("--on: " + e.getMessage());
    }
  }

  /** Writes the bench file, where that is wanted. */
  Optional<Path> write(List<SheetGuess.Outcome> outcomes, List<FoundLine> found, Drivers drivers) {
    if (write.isEmpty()) {
      return Optional.empty();
    }
    Path file = write.get().toAbsolutePath().normalize();
    List<StartingBench.Recognised> recognised = new ArrayList<>();
    Map<Path, Map<String, Object>> sheetsToWrite = new LinkedHashMap<>();
    for (SheetGuess.Outcome outcome : outcomes) {
      Optional<FoundLine> line =
          found.stream().filter(one -> one.port().equals(outcome.place().text())).findFirst();
      if (outcome.best().isPresent()) {
        KnownSheet best = outcome.best().get().sheet();
        String name = best.name();
        if (isInOwnFolder(name)) {
          // A bench folder is complete by itself: the sheet comes along.
          Path copy = free(file, sheetName(name), sheetsToWrite.keySet());
          sheetsToWrite.put(copy, best.file().members());
          name = copy.toString();
        }
        recognised.add(
            new StartingBench.Recognised(outcome.place(), best, named(name, file), line));
      } else if (outcome.identity().isPresent()) {
        Map<String, Object> sheet = outcome.identity().get().sheet();
        Path own = free(file, outcome.identity().get().sheetName(), sheetsToWrite.keySet());
        sheetsToWrite.put(own, sheet);
        KnownSheet made = KnownSheet.made(own.getFileName().toString(), sheet, drivers);
        recognised.add(new StartingBench.Recognised(outcome.place(), made, made.name(), line));
      }
    }
    try {
      Bench bench = StartingBench.of(recognised);
      for (Map.Entry<Path, Map<String, Object>> sheet : sheetsToWrite.entrySet()) {
        SheetFiles.write(sheet.getKey(), sheet.getValue());
      }
      BenchFile.write(file, bench);
      return write;
    } catch (IOException e) {
      throw CommandFailed.data(file + " cannot be written: " + e.getMessage());
    }
  }

  private static boolean isInOwnFolder(String sheet) {
    return SheetFiles.isOwn(sheet)
        && Path.of(sheet).toAbsolutePath().startsWith(SheetFiles.ownFolder().toAbsolutePath());
  }

  private static String sheetName(String file) {
    return Path.of(file).getFileName().toString().replaceFirst("\\.json$", "");
  }

  /** A sheet's file beside the bench file that is not there yet. */
  private static Path free(Path benchFile, String name, Set<Path> taken) {
    Path file = benchFile.resolveSibling(name + ".json");
    for (int number = 2; Files.exists(file) || taken.contains(file); number++) {
      file = benchFile.resolveSibling(name + "-" + number + ".json");
    }
    return file;
  }

  /** A bench folder is complete by itself, so a sheet of one's own must lie in it. */
  private static String named(String sheet, Path benchFile) {
    if (!SheetFiles.isOwn(sheet)) {
      return sheet;
    }
    Path own = Path.of(sheet).toAbsolutePath().normalize();
    if (!own.startsWith(benchFile.getParent())) {
      throw CommandFailed.usage(
          "the sheet " + sheet + " must lie in the folder of " + benchFile + " or deeper");
    }
    return benchFile.getParent().relativize(own).toString().replace('\\', '/');
  }

  static void say(Console console, List<SheetGuess.Outcome> outcomes) {
    for (SheetGuess.Outcome outcome : outcomes) {
      String where = "  " + outcome.place().text() + "  ";
      List<SheetGuess.Tried> fitting =
          outcome.tried().stream().filter(SheetGuess.Tried::fits).toList();
      for (SheetGuess.Tried each : fitting) {
        console.say(
            where
                + each.sheet().name()
                + "  "
                + each.frames()
                + " frames read, "
                + each.rejects()
                + " rejected");
      }
      if (fitting.isEmpty()) {
        console.say(where + unknown(outcome));
      }
    }
  }

  private static String unknown(SheetGuess.Outcome outcome) {
    if (outcome.identity().isPresent()) {
      return "speaks SCPI and says it is \""
          + outcome.identity().get().answer()
          + "\": a sheet for the driver scpi reads it";
    }
    if (outcome.trouble().isPresent()) {
      return "cannot be listened to: " + outcome.trouble().get();
    }
    return outcome.example().isEmpty()
        ? "says nothing: is it on, does it speak only when asked (--ask)?"
        : "no sheet fits; what came was like \"" + outcome.example() + "\"";
  }

  static void addTo(ArrayNode array, List<SheetGuess.Outcome> outcomes) {
    for (SheetGuess.Outcome outcome : outcomes) {
      ObjectNode object = array.addObject().put("on", outcome.place().text());
      object.put("heard", outcome.example()).put("trouble", outcome.trouble().orElse(""));
      object.put("identity", outcome.identity().map(Identity::answer).orElse(""));
      JsonOut.list(
          object,
          "sheets",
          outcome.tried(),
          (node, each) ->
              node.put("sheet", each.sheet().name())
                  .put("fits", each.fits())
                  .put("frames", each.frames())
                  .put("rejected", each.rejects()));
    }
  }
}
