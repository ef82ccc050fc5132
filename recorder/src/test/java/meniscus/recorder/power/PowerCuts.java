package meniscus.recorder.power;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.Stream;
import meniscus.core.lift.LiftPoint;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.power.DiskLog.Loss;
import meniscus.recorder.power.DiskLog.Told;
import meniscus.recorder.record.Recorder;

/** Power cuts of a logged test: the file system is mended as at a start, and the test looked at. */
final class PowerCuts {

  private final DiskLog log;
  private final Path place;
  private final Path files;
  private final long seed;
  private final List<String> wrong = new ArrayList<>();
  private int cuts;
  private int replayed;
  private int told;
  private int resumed;

  /**
   * @param files folder of the bench and plan that the test was taken with
   */
  PowerCuts(DiskLog log, Path place, Path files, long seed) {
    this.log = log;
    this.place = place;
    this.files = files;
    this.seed = seed;
  }

  /** What went wrong, each with its cut. */
  List<String> wrong() {
    return wrong;
  }

  @Override
  public String toString() {
    return cuts
        + " cuts of "
        + log.count(DiskLog.Write.class)
        + " writes and "
        + log.count(DiskLog.Flush.class)
        + " flushes, journal of the file system replayed in "
        + replayed
        + ", "
        + told
        + " told points looked for, "
        + resumed
        + " tests resumed, "
        + wrong.size()
        + " wrong, seed "
        + seed;
  }

  /** Cuts anywhere, their loss in turn; the first that can be resumed are. */
  PowerCuts anywhere(int count, int toResume) throws Exception {
    for (int i = 0; i < count; i++) {
      Random random = new Random(seed + i);
      int begin = log.begin();
      int cut = begin + random.nextInt(log.events().size() - begin + 1);
      Loss loss = Loss.values()[i % Loss.values().length];
      String where = "cut after event " + cut + ", " + loss + ", seed " + (seed + i);
      Path test = mended(log.cut(cut, loss, random), where);
      Map<Integer, Told> before = log.told(cut);
      lost(before, standing(test), where);
      told += before.size();
      cuts++;
      if (resumed < toResume && !before.isEmpty() && Files.exists(test.resolve(Journal.NAME))) {
        resume(test, before, where);
        resumed++;
      }
    }
    return this;
  }

  /**
   * Right after told points, on a disk that lies about its last flushes.
   *
   * @param points so many of the first
   * @return how many told points are lost
   */
  int onADiskThatLies(int flushes, int points) throws Exception {
    int before = wrong.size();
    for (int cut : log.afterEachTold().subList(0, points)) {
      Path test = mended(log.cutOfALiar(cut, flushes), "a lie");
      lost(log.told(cut), standing(test), "a lie");
    }
    int lost = wrong.size() - before;
    wrong.subList(before, wrong.size()).clear();
    return lost;
  }

  private void lost(Map<Integer, Told> told, Map<Integer, Integer> standing, String where) {
    told.forEach(
        (rung, point) -> {
          // Taken once more, it may stand without having been told.
          if (standing.getOrDefault(rung, 0) < point.attempt()) {
            wrong.add("rung " + rung + " is lost: " + where);
          }
        });
  }

  /** Attempts of the points that stand in an unfinished or finished test, by rung. */
  private static Map<Integer, Integer> standing(Path test) throws IOException {
    List<LiftPoint> points = List.of();
    if (Files.exists(test.resolve("datapackage.json"))) {
      points = TestFolder.open(test).points();
    } else if (Files.exists(test.resolve(Journal.NAME))) {
      points = JournalReader.read(test.resolve(Journal.NAME)).standing();
    }
    Map<Integer, Integer> attempts = new TreeMap<>();
    points.forEach(point -> attempts.put(point.taken().rung(), point.taken().attempt()));
    return attempts;
  }

  /** Goes on with a test where it was left, and works it out again. */
  private void resume(Path test, Map<Integer, Told> told, String where) throws IOException {
    Recorder.Ran ran =
        Recorder.run(
            "",
            "record",
            "--bench",
            files.resolve("bench.json"),
            "--plan",
            files.resolve("plan.json"),
            "--out",
            test,
            "--hands-free",
            "--quick",
            "--json",
            "--resume");
    // Averaged for five seconds at most: finished, though not as sure as was asked for.
    if (ran.exitCode() != ExitCode.DONE && ran.exitCode() != ExitCode.DONE_WITH_DOUBT) {
      wrong.add("cannot be resumed: " + where + ": " + ran.err());
      return;
    }
    finished(test, told, where);
  }

  /** A finished test has every point as it was told, but for one that was taken again. */
  void finished(Path test, Map<Integer, Told> told, String where) throws IOException {
    Map<Integer, Double> flows = Recorder.flows(test);
    Map<Integer, Integer> attempts = Recorder.attempts(test);
    lost(told, attempts, "resumed, " + where);
    told.forEach(
        (rung, point) -> {
          if (point.attempt() == attempts.getOrDefault(rung, 0)
              && point.flow() != flows.get(rung)) {
            wrong.add("rung " + rung + " is another: " + where);
          }
        });
    Recorder.Ran again = Recorder.run("", "recompute", test);
    if (again.exitCode() != 0) {
      wrong.add("cannot be worked out again: " + where + ": " + again.err());
    }
  }

  /** Mends the file system of an image without mounting it, and takes the test out of it. */
  private Path mended(byte[] image, String where) throws Exception {
    Path file = place.resolve("cut.img");
    sparse(file, image);
    Tools.Ended mended = Tools.run(Tools.find("e2fsck"), "-fy", file.toString());
    // 1: mended, as it should be after a cut.
    if (mended.code() > 1 || Tools.run(Tools.find("e2fsck"), "-fn", file.toString()).code() != 0) {
      wrong.add("the file system is spoilt: " + where + ": " + mended.said());
    }
    replayed += mended.said().contains("recovering journal") ? 1 : 0;
    return takenOut(file, place);
  }

  static void sparse(Path file, byte[] image) throws IOException {
    Files.deleteIfExists(file);
    try (RandomAccessFile out = new RandomAccessFile(file.toFile(), "rw")) {
      out.setLength(image.length);
      for (int at = 0; at < image.length; at += 4096) {
        int length = Math.min(4096, image.length - at);
        if (!java.util.Arrays.equals(image, at, at + length, new byte[length], 0, length)) {
          out.seek(at);
          out.write(image, at, length);
        }
      }
    }
  }

  /** The folder of the test out of a file system that is whole. */
  static Path takenOut(Path image, Path place) throws Exception {
    Path out = place.resolve("out");
    remove(out);
    Files.createDirectories(out);
    Tools.run(Tools.find("debugfs"), "-R", "rdump /test " + out, image.toString()).orThrow();
    return out.resolve("test");
  }

  private static void remove(Path folder) throws IOException {
    if (Files.exists(folder)) {
      try (Stream<Path> all = Files.walk(folder)) {
        for (Path each : all.sorted((a, b) -> b.compareTo(a)).toList()) {
          Files.delete(each);
        }
      }
    }
  }
}
