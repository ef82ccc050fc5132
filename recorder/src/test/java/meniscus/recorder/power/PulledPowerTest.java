package meniscus.recorder.power;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import meniscus.core.Needed;
import meniscus.recorder.power.DiskLog.Loss;
import meniscus.recorder.record.Recorder;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A test on the simulated bench by the packaged program, on a real kernel and ext4, and the power
 * pulled: no point that was told may be lost.
 *
 * <p>The cuts of a log prove that what was told had been forced onto the medium, as far as kernel
 * and file system go; killing the machine proves only that the program forces before it tells. A
 * sector that is torn, and a disk that lies, are neither.
 */
class PulledPowerTest {

  private static final long SEED = 20320501;

  /** A slow machine beside other work: it takes twenty times as long as the host itself. */
  private static final long MINUTES = 90;

  /** Commit, data and directory: a point told is further back than this many flushes. */
  private static final int LIES = 12;

  @TempDir Path place;

  /** What every build has of it: ten cuts of a run that was logged, without a machine. */
  @Test
  @Tag("long")
  @Timeout(value = 5, unit = TimeUnit.MINUTES)
  void tenCutsOfALoggedRun() throws Exception {
    DiskLog log;
    try (InputStream in = PulledPowerTest.class.getResourceAsStream("ordered.log.gz")) {
      log = DiskLog.read(in);
    }
    PowerCuts cuts = new PowerCuts(log, place, files(), SEED).anywhere(10, 1);
    assertEquals(List.of(), cuts.wrong(), cuts.toString());
    assertTrue(
        cuts.onADiskThatLies(LIES, 1) > 0, "a disk that lies loses nothing: is it looked at?");
  }

  @ParameterizedTest
  @ValueSource(strings = {"ordered", "writeback"})
  @Tag("bench")
  @Timeout(value = 3, unit = TimeUnit.HOURS)
  void fiveHundredCutsOfATestOnARealKernel(String mode) throws Exception {
    Path kept = Files.createDirectories(Path.of("target", "power")).resolve(mode + ".log.gz");
    DiskLog log;
    if (Boolean.getBoolean("meniscus.power.again") && Files.exists(kept)) {
      try (InputStream in = Files.newInputStream(kept)) {
        log = DiskLog.read(in);
      }
    } else {
      log = logged(mode);
      try (OutputStream out = Files.newOutputStream(kept)) {
        log.write(out);
      }
    }
    PowerCuts cuts = new PowerCuts(log, place, files(), SEED).anywhere(500, 50);
    System.out.println("data=" + mode + ": " + cuts);
    assertEquals(List.of(), cuts.wrong());
    int lost = cuts.onADiskThatLies(LIES, 6);
    System.out.println("a disk that lies about its last " + LIES + " flushes: " + lost + " lost");
    assertTrue(lost > 0, "nothing is looked at");
  }

  private DiskLog logged(String mode) throws Exception {
    Guest guest = guest();
    try (LoggedDisk disk = new LoggedDisk(place.resolve("disk.sock"), fresh());
        Guest.Running running = guest.boot(disk, "record", mode)) {
      running.awaitEnd(MINUTES);
      assertTrue(lines(disk.log()).contains("guest: done"), lines(disk.log()).toString());
      return disk.log();
    }
  }

  /**
   * Killed at any moment, started again, and the test resumed there: once with all that the disk
   * was sent, once with some of what it was not told to force, once with none of it.
   */
  @Test
  @Tag("bench")
  @Timeout(value = 6, unit = TimeUnit.HOURS)
  void killedThreeTimesBootedAndResumed() throws Exception {
    Guest guest = guest();
    Random random = new Random(SEED);
    for (Loss loss : List.of(Loss.NONE_LOST, Loss.SOME_LOST, Loss.ALL_LOST)) {
      String mode = loss == Loss.SOME_LOST ? "writeback" : "ordered";
      int points = 1 + random.nextInt(3);
      DiskLog log = killed(guest, mode, points, random.nextInt(4000));
      int end = log.events().size();
      String where = loss + ", data=" + mode + ", seed " + SEED;
      Map<Integer, DiskLog.Told> told = log.told(end);
      assertTrue(told.size() >= points, where);

      Path image = place.resolve("after.img");
      try (LoggedDisk disk =
              new LoggedDisk(place.resolve("again.sock"), log.cut(end, loss, random));
          Guest.Running running = guest.boot(disk, "resume", mode)) {
        running.awaitEnd(MINUTES);
        DiskLog again = disk.log();
        assertTrue(lines(again).contains("guest: done"), lines(again).toString());
        PowerCuts.sparse(image, again.cut(again.events().size(), Loss.NONE_LOST, random));
      }
      PowerCuts check = new PowerCuts(log, place, files(), SEED);
      check.finished(PowerCuts.takenOut(image, place), told, where);
      assertEquals(List.of(), check.wrong(), where);
      System.out.println("killed, booted, resumed: " + told.size() + " told points, " + where);
    }
  }

  private DiskLog killed(Guest guest, String mode, int points, int later) throws Exception {
    try (LoggedDisk disk = new LoggedDisk(place.resolve("disk.sock"), fresh());
        Guest.Running running = guest.boot(disk, "record", mode)) {
      disk.awaitTold(points, System.nanoTime() + TimeUnit.MINUTES.toNanos(MINUTES));
      running.process().waitFor(later, TimeUnit.MILLISECONDS);
      running.kill();
      return disk.log();
    }
  }

  private static List<String> lines(DiskLog log) {
    return log.events().stream()
        .filter(DiskLog.Line.class::isInstance)
        .map(event -> ((DiskLog.Line) event).text())
        .toList();
  }

  /** Bench and plan, small enough for a machine that is slow. */
  private Path files() throws IOException {
    Path files = Recorder.files(place);
    Path plan = files.resolve("plan.json");
    Recorder.change(plan, "[0.1, 0.2, 0.3]", "[0.1, 0.15, 0.2, 0.25, 0.3, 0.35]");
    Recorder.change(plan, "\"longest\": \"30 s\"", "\"longest\": \"5 s\", \"target\": \"2 %\"");
    return files;
  }

  private byte[] fresh() throws Exception {
    Path image = place.resolve("fresh.img");
    Files.deleteIfExists(image);
    Tools.fileSystem(image, files(), "64M");
    return Files.readAllBytes(image);
  }

  /** Debian's cloud kernel, and what {@code mvn -Ppackage package} made. */
  private Guest guest() throws Exception {
    Path kernels = Path.of(System.getProperty("meniscus.kernels", "/boot"));
    Path kernel = newest(kernels, "vmlinuz-.*-cloud-amd64");
    Needed.that(kernel != null, "a kernel of linux-image-cloud-amd64 in " + kernels);
    Path packages = Path.of(System.getProperty("meniscus.packages", "target/packages"));
    Path archive = newest(packages, "meniscus-.*-linux-amd64\\.tar\\.gz");
    Needed.that(archive != null, "the packaged program in " + packages);
    return Guest.make(kernel, archive, place);
  }

  private static Path newest(Path folder, String name) throws IOException {
    if (!Files.isDirectory(folder)) {
      return null;
    }
    try (Stream<Path> files = Files.list(folder)) {
      return files
          .filter(file -> file.getFileName().toString().matches(name))
          .max(Comparator.naturalOrder())
          .orElse(null);
    }
  }
}
