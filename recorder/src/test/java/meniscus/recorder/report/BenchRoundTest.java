package meniscus.recorder.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Map;
import java.util.Optional;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.flow.Direction;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.UnitSystem;
import meniscus.recorder.file.PlateFile;
import meniscus.recorder.file.PlateMounted;
import meniscus.recorder.record.Recorder;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code compare --benches}: one head that travels. */
class BenchRoundTest {

  private static final Instant DAY = Instant.parse("2031-04-02T08:00:00Z");

  @TempDir private Path temp;

  private final InventedBench north = new InventedBench(61, InventedBench.Errors.USUAL);
  private final InventedBench south = new InventedBench(62, InventedBench.Errors.USUAL);
  private final InventedBench east = new InventedBench(63, InventedBench.Errors.USUAL);

  private Path test(InventedBench bench, String name, String id, int day, double factor)
      throws IOException {
    return InventedFolders.write(
        temp.resolve(name + day),
        bench.run(name, Optional.empty(), lift -> factor),
        true,
        DAY.plusSeconds(86_400L * day),
        Map.of(
            "bench.json",
            InventedFolders.bench(name, id + "d1c2f6e-90ab-4c3d-8e7f-112233445566", true)));
  }

  @Test
  void theBenchThatIsWrongIsNamedWithWhatToLookAtAndTheHeadsOwnChangeIsTakenOut()
      throws IOException {
    Path first = test(north, "North", "1", 0, 1);
    Path second = test(south, "South", "2", 5, 1.01);
    Path third = test(east, "East", "3", 10, 1.02 * 1.08);
    Path again = test(north, "North", "1", 15, 1.03);
    Path plot = temp.resolve("benches.svg");
    Object[] asked = {"compare", third, first, again, second, "--benches", "--plot", plot};
    Ran told = Recorder.run("", asked);
    assertEquals(0, told.exitCode(), told.err());
    assertTrue(told.out().contains("East stands out"), told.out());
    assertTrue(told.out().contains("by the same share at every lift"), told.out());
    assertTrue(told.out().contains("From the first to the last test on North"), told.out());
    assertFalse(told.out().contains("South stands out"), told.out());
    String svg = Files.readString(plot);
    assertTrue(svg.startsWith("<svg") && svg.contains(">East<"), svg);

    JsonNode json =
        Recorder.json(
            Recorder.run("", "compare", first, second, third, again, "--benches", "--json").out());
    assertEquals("North", json.path("pilot").asText());
    JsonNode mean = json.path("mean");
    assertEquals(3, mean.path("benches").size());
    double drift = mean.path("drift").asDouble() / mean.path("reference").asDouble();
    assertEquals(0.03, drift, 0.015, "3 % between the first and the last");
    double before = 0;
    for (JsonNode bench : mean.path("benches")) {
      assertEquals(
          bench.path("bench").asText().equals("East"), bench.path("stands_out").asBoolean());
      before += bench.path("stands_out").asBoolean() ? 0 : off(bench);
    }
    assertEquals(0, before, 0.5, "those that agree lie about their mean");
    assertEquals(8, off(mean.path("benches").path(2)), 3, "and East is as far off as it is");
    assertEquals(InventedBench.ladder().size(), json.path("lifts").size());
    assertEquals("same share", json.path("look").path(0).path("goes").asText());
  }

  private static double off(JsonNode bench) {
    return bench.path("difference_percent").asDouble();
  }

  private Path plate(
      InventedBench bench, String name, int id, int day, double factor, String serial)
      throws IOException {
    TestCurve read = bench.run(name, Optional.empty(), lift -> factor);
    String plate =
        PlateFile.text(
            new PlateMounted(
                "44",
                new Plate.Papers(Optional.of(serial), Optional.of("C-7")),
                PlateReading.Bevel.DOWNSTREAM,
                new PlateMounted.Asked(
                    Direction.SUCTION,
                    "main",
                    read.points().stream().map(point -> 500.0 * point.rung()).toList(),
                    0.001,
                    46),
                UnitSystem.METRIC));
    return InventedFolders.write(
        temp.resolve("plate-readings").resolve(name + day),
        read,
        false,
        DAY.plusSeconds(86_400L * day),
        Map.of(
            "bench.json",
            InventedFolders.bench(name, id + "d1c2f6e-90ab-4c3d-8e7f-112233445566", false),
            "plate.json",
            plate.getBytes(StandardCharsets.UTF_8)));
  }

  /** A plate is not put on again like a head: its readings scatter, and that is all. */
  @Test
  void aPlateTravelsLikeAHead() throws IOException {
    InventedBench.Errors reading = new InventedBench.Errors(0, 0, 0, 0.004, 0);
    InventedBench north = new InventedBench(61, reading);
    InventedBench south = new InventedBench(62, reading);
    InventedBench east = new InventedBench(63, reading);
    Path first = plate(north, "North", 1, 0, 1, "P1");
    Path second = plate(south, "South", 2, 5, 1.01, "P1");
    Path third = plate(east, "East", 3, 10, 1.02 * 1.08, "P1");
    Path again = plate(north, "North", 1, 15, 1.03, "P1");
    Ran told = Recorder.run("", "compare", third, first, again, second, "--benches");
    assertEquals(0, told.exitCode(), told.err());
    assertTrue(told.out().contains("One plate on 3 benches"), told.out());
    assertTrue(told.out().contains("East stands out. Look at its zeros"), told.out());
    assertTrue(told.out().contains("the plate itself changed by"), told.out());
    JsonNode json =
        Recorder.json(
            Recorder.run("", "compare", first, second, third, again, "--benches", "--json").out());
    assertEquals(0, json.path("lifts").size());
    assertEquals(8, off(json.path("mean").path("benches").path(2)), 3);

    Ran another = Recorder.run("", "compare", first, plate(south, "S", 2, 6, 1, "P2"), "--benches");
    assertEquals(4, another.exitCode());
    assertTrue(another.err().contains("a round is of one plate"), another.err());
    Ran mixed = Recorder.run("", "compare", first, test(south, "South", "2", 5, 1), "--benches");
    assertEquals(4, mixed.exitCode());
    assertTrue(mixed.err().contains("a round is of one thing"), mixed.err());
    Ran asPorts = Recorder.run("", "compare", first, "--after", second);
    assertEquals(4, asPorts.exitCode());
    assertTrue(asPorts.err().contains("no test of a port"), asPorts.err());
  }

  @Test
  void whereABenchIsLookedAfterItsPlatesAreListed() throws IOException {
    plate(north, "North", 1, 0, 1, "P1");
    plate(north, "North", 1, 5, 1, "P1");
    Path bench = temp.resolve("bench.json");
    Files.write(
        bench, InventedFolders.bench("North", "1d1c2f6e-90ab-4c3d-8e7f-112233445566", false));
    Ran health = Recorder.run("", "health", "--bench", bench);
    assertEquals(0, health.exitCode(), health.err());
    assertTrue(
        health.out().contains("raw readings of plates: 2 folders, the newest of plate 44"),
        health.out());
  }

  @Test
  void aRoundOfOneBenchIsRefused() throws IOException {
    Path first = test(north, "North", "1", 0, 1);
    Path again = test(north, "North", "1", 15, 1);
    Ran one = Recorder.run("", "compare", first, again, "--benches");
    assertEquals(4, one.exitCode());
    assertTrue(one.err().contains("two benches or more"), one.err());
    assertEquals(2, Recorder.run("", "compare", first, "--benches", "--after", again).exitCode());
    assertEquals(
        2, Recorder.run("", "compare", first, "--after", again, "--plot", "x.svg").exitCode());
  }

  /** A head that nobody tested twice on one bench, on benches of one name. */
  @Test
  void benchesOfOneNameAreToldApartAndAHeadThatMayHaveChangedIsSaid() throws IOException {
    Path first = test(north, "Bench", "1", 0, 1);
    Path second = test(south, "Bench", "2", 5, 1);
    Ran told = Recorder.run("", "compare", first, second, "--benches");
    assertEquals(0, told.exitCode(), told.err());
    assertTrue(told.out().contains("Bench (2)"), told.out());
    assertTrue(told.out().contains("test it again on Bench, where it was first"), told.out());
    assertTrue(told.out().contains("No bench stands out"), told.out());
  }
}
