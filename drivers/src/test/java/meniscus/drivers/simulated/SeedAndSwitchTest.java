package meniscus.drivers.simulated;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import meniscus.core.flow.Direction;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What the seed changes, what it does not, and that every switch does something. */
class SeedAndSwitchTest {

  private static final Scenario DEMO = Scenario.demo();

  @Test
  void theSameSeedGivesTheSameBytesHoweverTimeIsCut() {
    assertEquals(transcript(DEMO, 11, 0.5), transcript(DEMO, 11, 0.5));
    assertEquals(transcript(DEMO, 11, 0.5), transcript(DEMO, 11, 0.25));
  }

  @Test
  void anotherSeedGivesOtherBytesButTheSameHead() {
    assertNotEquals(transcript(DEMO, 11, 0.5), transcript(DEMO, 12, 0.5));
    assertEquals(areaAtMiddleLift(11), areaAtMiddleLift(12), 1e-9 * areaAtMiddleLift(11));
  }

  @ParameterizedTest
  @EnumSource(Effect.class)
  void everyEffectCanBeSeen(Effect effect) {
    assertNotEquals(
        transcript(DEMO, 5, 0.5), transcript(DEMO.without(effect), 5, 0.5), effect.word());
  }

  @ParameterizedTest
  @EnumSource(Effect.class)
  void everyEffectCanBeHalved(Effect effect) {
    List<String> half = transcript(DEMO.scaled(effect, 0.5), 5, 0.5);
    assertNotEquals(transcript(DEMO, 5, 0.5), half, effect.word());
    assertNotEquals(transcript(DEMO.without(effect), 5, 0.5), half, effect.word());
  }

  @Test
  void onlyMeansThatAllOthersAreOff() {
    Scenario scenario = Variants.only(DEMO.scaled(Effect.WANDER, 2), Effect.WANDER);
    assertEquals(2, scenario.scale(Effect.WANDER));
    assertEquals(0, scenario.scale(Effect.RIPPLE));
  }

  @Test
  void anEffectCannotBeNegative() {
    String message =
        assertThrows(IllegalArgumentException.class, () -> DEMO.scaled(Effect.ZERO_OFFSET, -1))
            .getMessage();
    assertTrue(message.contains("zero offset"), message);
  }

  @Test
  void anotherDayHasOtherWeather() {
    SimulatedBench bench = new SimulatedBench(DEMO, 1);
    double today = bench.truth().air().roomPressurePa();
    bench.anotherDay();
    assertNotEquals(today, bench.truth().air().roomPressurePa());
  }

  @Test
  void anUnknownRangeIsNamedWithTheKnownOnes() {
    SimulatedBench bench = new SimulatedBench(DEMO, 1);
    String message =
        assertThrows(IllegalArgumentException.class, () -> bench.range("middle")).getMessage();
    assertTrue(message.contains("middle") && message.contains("large, small"), message);
  }

  private static double areaAtMiddleLift(long seed) {
    Scenario placed = DEMO.without(Effect.REFIXING, Effect.VALVE_SUCTION);
    return Stand.running(placed, new Mounted.Head(DEMO.after()), 5e-3, Stand.AIM, seed)
        .bench
        .truth()
        .area()
        .meanM2();
  }

  /** A short working day that gives every effect its chance. */
  private static List<String> transcript(Scenario scenario, long seed, double cutS) {
    SimulatedBench bench = new SimulatedBench(scenario, seed);
    List<String> heard = new ArrayList<>();
    bench.mount(new Mounted.Head(scenario.after()));
    bench.blower(true);
    work(bench, heard, 0.0140, cutS);
    work(bench, heard, 0.0127, cutS);
    bench.blower(false);
    bench.direction(Direction.BLOWING);
    bench.blower(true);
    work(bench, heard, 0.0127, cutS);
    return heard;
  }

  private static void work(SimulatedBench bench, List<String> heard, double liftM, double cutS) {
    bench.setLift(liftM);
    ByteBuffer question = ByteBuffer.wrap("AIR?\r\n".getBytes(StandardCharsets.US_ASCII));
    bench.received(SimulatedBench.STATION, question);
    Moment end = bench.now().plusSeconds(8);
    while (end.isAfter(bench.now())) {
      bench.advanceTo(bench.now().plusSeconds(cutS));
      bench.drain(
          (instrument, at, bytes) ->
              heard.add(at.nanos() + " " + StandardCharsets.US_ASCII.decode(bytes)));
    }
  }
}
