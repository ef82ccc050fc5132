package meniscus.recorder.session;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.Instrument;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestSetUp;
import meniscus.drivers.sheet.SheetFile;
import meniscus.recorder.disk.PortableName;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.file.PlateFile;
import meniscus.recorder.file.PlateMounted;
import meniscus.recorder.file.SheetFiles;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;

/** Gathers what a test takes along: bench, plan, calibrations and calm record, byte by byte. */
public final class FolderFiles {

  /** Where the calm record lies within a test folder. */
  static final String CALM = "calm/";

  private FolderFiles() {}

  /**
   * @throws FileNotAccepted when bench or plan is not accepted, or a file that the bench names is
   *     missing; the message names the owner's own file, not the copy
   */
  public static SortedMap<String, byte[]> gather(Path benchFile, Path planFile) {
    SortedMap<String, byte[]> files = ofBench(benchFile);
    Plan plan = PlanFile.read(planFile);
    files.put(
        Header.PLAN,
        plan.setUp().liftZeroM().isPresent() ? bytes(planFile) : withUsualLiftZero(plan));
    PortableName.fault(files.keySet())
        .ifPresent(
            fault -> {
              throw new FileNotAccepted(
                  benchFile + ": its test folders could not be kept everywhere: " + fault);
            });
    return files;
  }

  /**
   * What the readings of a plate take along. The calm record is not among it: a plate's flow is
   * judged by itself.
   *
   * @throws FileNotAccepted as above
   */
  static SortedMap<String, byte[]> gather(Path benchFile, PlateMounted mounted) {
    SortedMap<String, byte[]> files = withoutCalm(benchFile, BenchFile.read(benchFile));
    files.put(Header.PLATE, PlateFile.text(mounted).getBytes(StandardCharsets.UTF_8));
    return files;
  }

  /** What is not in the plan is written into its copy: an intervals' reason must not be a habit. */
  private static byte[] withUsualLiftZero(Plan plan) {
    Plan said = plan.with(plan.setUp().withLiftZeroM(TestSetUp.USUAL_LIFT_ZERO_M));
    return PlanFile.text(said).getBytes(StandardCharsets.UTF_8);
  }

  /** The same as a finished test has it. */
  public static SortedMap<String, byte[]> of(TestFolder test) throws IOException {
    SortedMap<String, byte[]> files = new TreeMap<>();
    for (String name : test.files()) {
      if (name.endsWith(".json") || name.startsWith(CALM)) {
        files.put(name, test.file(name));
      }
    }
    return files;
  }

  /** The bench's files alone. */
  public static SortedMap<String, byte[]> ofBench(Path benchFile) {
    Bench bench = BenchFile.read(benchFile);
    SortedMap<String, byte[]> files = withoutCalm(benchFile, bench);
    Path folder = benchFile.toAbsolutePath().getParent();
    bench.upkeep().calm().ifPresent(calm -> addFolder(files, folder, calm.folder()));
    return files;
  }

  private static SortedMap<String, byte[]> withoutCalm(Path benchFile, Bench bench) {
    SortedMap<String, byte[]> files = new TreeMap<>();
    files.put(Header.BENCH, bytes(benchFile));
    Path folder = benchFile.toAbsolutePath().getParent();
    for (CalibrationRef taken : bench.upkeep().calibrations()) {
      String name = "calibrations/" + taken.sha256() + ".json";
      if (bench
          .upkeep()
          .calibration(taken.direction(), taken.range())
          .filter(taken::equals)
          .isPresent()) {
        files.put(name, bytes(folder.resolve(name)));
      }
    }
    for (Instrument instrument : bench.instruments()) {
      SheetFiles.file(instrument.sheet(), benchFile)
          .ifPresent(file -> files.put(sheetName(instrument), bytes(file)));
    }
    return files;
  }

  /**
   * The sheet that a bench names: the copy that a test took along, else as {@link SheetFiles#read}.
   */
  static SheetFile sheet(
      SortedMap<String, byte[]> files, Bench bench, String sheet, Path benchFile) {
    Optional<byte[]> copy =
        bench.instruments().stream()
            .filter(instrument -> instrument.sheet().equals(sheet))
            .flatMap(instrument -> Stream.ofNullable(files.get(sheetName(instrument))))
            .findFirst();
    return copy.isPresent()
        ? SheetFiles.parse(sheet, new String(copy.get(), StandardCharsets.UTF_8))
        : SheetFiles.read(sheet, benchFile);
  }

  /** Where the copy of an owner's own sheet lies in a test folder. */
  private static String sheetName(Instrument instrument) {
    return "sheets/" + instrument.id() + ".json";
  }

  private static void addFolder(SortedMap<String, byte[]> files, Path folder, String name) {
    try (Stream<Path> entries = Files.list(folder.resolve(name))) {
      for (Path entry : entries.filter(Files::isRegularFile).sorted().toList()) {
        files.put(CALM + entry.getFileName(), bytes(entry));
      }
    } catch (IOException e) {
      throw new FileNotAccepted(
          folder.resolve(name)
              + ", the calm record that the bench file names, cannot be read: take it again with"
              + " calm",
          e);
    }
  }

  private static byte[] bytes(Path file) {
    try {
      return Files.readAllBytes(file);
    } catch (IOException e) {
      throw new FileNotAccepted(file + " cannot be read: is the path right?", e);
    }
  }
}
