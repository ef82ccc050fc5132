package meniscus.recorder.report;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.compare.BenchRound;
import meniscus.core.compare.Question;
import meniscus.core.lift.TestCurve;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlateFile;
import meniscus.recorder.file.PlateMounted;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;

/** One thing on several benches, read from test folders: a head's tests, or a plate's readings. */
public final class BenchRoundRead {

  private BenchRoundRead() {}

  /** A plate's readings, and which plate it is. */
  private record OfPlate(Path folder, PlateMounted plate, BenchRound.Taken taken) {}

  /**
   * @throws FileNotAccepted naming the folder that is damaged, or is not of the same thing
   * @throws meniscus.core.refusal.Refusal with one bench alone, or nothing in common
   */
  public static BenchRound of(List<Path> folders, Question question) {
    List<OfPlate> plates = new ArrayList<>();
    for (Path folder : folders) {
      plate(folder).ifPresent(plates::add);
    }
    if (plates.isEmpty()) {
      return BenchRound.of(
          folders.stream()
              .map(TestRead::open)
              .map(one -> new BenchRound.Taken(one.bench().name(), one.at(), one.curve()))
              .toList(),
          question);
    }
    if (plates.size() < folders.size()) {
      throw new FileNotAccepted(
          plates.get(0).folder()
              + " holds readings of a plate, and others are tests of a port: a round is of one"
              + " thing");
    }
    OfPlate first = plates.get(0);
    for (OfPlate other : plates) {
      if (!other.plate().sameThing(first.plate())
          || other.plate().direction() != first.plate().direction()) {
        throw new FileNotAccepted(
            other.folder()
                + " is of "
                + words(other.plate())
                + ", and "
                + first.folder()
                + " of "
                + words(first.plate())
                + ": a round is of one plate, read one way");
      }
    }
    return BenchRound.ofPlate(plates.stream().map(OfPlate::taken).toList(), question);
  }

  private static String words(PlateMounted plate) {
    return "plate "
        + plate.name()
        + plate.papers().serial().map(serial -> ", serial " + serial).orElse("")
        + plate.papers().certificate().map(paper -> ", certificate " + paper).orElse("")
        + ", "
        + plate.direction().word();
  }

  private static Optional<OfPlate> plate(Path path) {
    try {
      TestFolder folder = TestFolder.open(path);
      if (!folder.isOfPlate()) {
        return Optional.empty();
      }
      String where = path.toString();
      Bench bench = BenchFile.parse(where, folder.text(Header.BENCH));
      PlateMounted plate = PlateFile.parse(where, folder.text(Header.PLATE));
      Optional<CalibrationRef> calibration =
          bench.upkeep().calibration(plate.direction(), plate.asked().range());
      String name = TestRead.name(folder.folder());
      return Optional.of(
          new OfPlate(
              path,
              plate,
              new BenchRound.Taken(
                  bench.name(),
                  folder.created(),
                  new TestCurve(
                      name,
                      bench.stretch(name, calibration),
                      calibration.map(CalibrationRef::sha256).orElse(""),
                      Optional.empty(), // that of a head is none of a plate
                      plate.plan(),
                      Optional.empty(),
                      List.of(),
                      folder.points()))));
    } catch (IOException e) {
      throw new FileNotAccepted(path + ": " + e.getMessage(), e);
    }
  }
}
