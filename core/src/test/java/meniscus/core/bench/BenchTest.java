package meniscus.core.bench;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import meniscus.core.flow.Direction;
import meniscus.core.instrument.Channel;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import org.junit.jupiter.api.Test;

class BenchTest {

  private static final Instant NOON = Instant.parse("2026-03-14T12:00:00Z");
  private static final Source.Typed TYPED = new Source.Typed(295, 2);

  private static Source.Measured gauge(String channel) {
    return new Source.Measured("m", channel, 0, 10_000, new Accuracy(0, 0, 0), 0, false);
  }

  private static Bench bench() {
    return new Bench(
        Identity.named("Bench", ""),
        UnitSystem.METRIC,
        Site.UNKNOWN,
        ElementPlace.BLOWER_SIDE,
        Optional.empty(),
        List.of(new Instrument("m", "two-channel-manometer", Map.of())),
        Map.of(
            Use.TEST_PRESSURE,
            gauge("p1"),
            Use.ROOM_TEMPERATURE,
            TYPED,
            Use.ROOM_PRESSURE,
            new Source.Typed(101_325, 300)),
        List.of(
            new Range(
                "plate 1", new NozzleElement(0.04, new StatedCoefficient(0.98, 0)), gauge("p2"))),
        Upkeep.none(Epoch.FIRST));
  }

  @Test
  void withoutHygrometerHumidityIsAnything() {
    assertEquals(Optional.of(Bench.ANY_HUMIDITY), bench().source(Use.ROOM_HUMIDITY));
    assertEquals(Optional.empty(), bench().source(Use.LIFT));
  }

  /** A board that also reads the flow's pressures must not stop when its fast readings are many. */
  @Test
  void aFastChannelIsApartWhereNothingElseOfItsInstrumentIsNeeded() {
    Source.Measured tap =
        new Source.Measured("board", "tap", -1e3, 1e3, new Accuracy(0, 0, 0), 0, false);
    assertEquals(OptionalInt.of(1), fast(tap).fastInstrument());
    assertEquals(OptionalInt.empty(), fast(gauge("p3")).fastInstrument());
    assertEquals(OptionalInt.empty(), bench().fastInstrument());
  }

  private static Bench fast(Source.Measured tap) {
    Bench plain = bench();
    Map<Use, Source> channels = new HashMap<>(plain.channels());
    channels.put(Use.FLUCTUATION, tap);
    return new Bench(
        plain.identity(),
        plain.units(),
        plain.site(),
        plain.layout(),
        plain.plenum(),
        List.of(plain.instruments().get(0), new Instrument("board", "made-up", Map.of())),
        channels,
        plain.ranges(),
        plain.upkeep());
  }

  @Test
  void theNewestOfADirectionAndRangeIsTheCurrentCalibration() {
    CalibrationRef old = new CalibrationRef(Direction.SUCTION, "plate 1", "a".repeat(64), NOON);
    CalibrationRef current =
        new CalibrationRef(Direction.SUCTION, "plate 1", "b".repeat(64), NOON.plusSeconds(60));
    CalibrationRef other =
        new CalibrationRef(Direction.BLOWING, "plate 1", "c".repeat(64), NOON.plusSeconds(90));
    Upkeep upkeep =
        bench()
            .with(
                learned ->
                    learned.withCalibration(current).withCalibration(other).withCalibration(old))
            .upkeep();
    assertEquals(Optional.of(current), upkeep.calibration(Direction.SUCTION, "plate 1"));
    assertEquals(Optional.empty(), upkeep.calibration(Direction.SUCTION, "plate 2"));
  }

  @Test
  void aZeroIsFoundByItsChannel() {
    Zero zero = new Zero(3.2, 0.1, 0.4, NOON);
    Bench zeroed = bench().with(learned -> learned.withZero("m.p1", zero));
    assertEquals(zero, zeroed.zero(gauge("p1")));
    assertEquals(Zero.NONE, zeroed.zero(gauge("p2")));
  }

  @Test
  void zerosAreToldInOneOrder() {
    Bench zeroed = bench();
    for (String channel : List.of("m.p9", "a.p1", "m.p1", "b.p2", "z.p0")) {
      zeroed = zeroed.with(learned -> learned.withZero(channel, Zero.NONE));
    }
    assertEquals(
        List.of("a.p1", "b.p2", "m.p1", "m.p9", "z.p0"),
        List.copyOf(zeroed.upkeep().zeros().keySet()));
  }

  @Test
  void anUnknownRangeIsAnsweredWithTheKnownOnes() {
    String said =
        assertThrows(IllegalArgumentException.class, () -> bench().range("plate 9")).getMessage();
    assertEquals("the bench has no range \"plate 9\"; it has: plate 1", said);
  }

  @Test
  void channelsMustBeDeliveredAndReadTheRightQuantity() {
    Channel pressure = new Channel("p1", Unit.PASCAL);
    assertDoesNotThrow(
        () ->
            ChannelMatch.check(
                bench(), Map.of("m", List.of(pressure, new Channel("p2", Unit.INCH_OF_WATER)))));
    assertSaid(
        "the drop of range \"plate 1\": instrument m has no channel \"p2\"; its sheet names: p1",
        Map.of("m", List.of(pressure)));
    assertSaid(
        "the drop of range \"plate 1\" needs a pressure, but m.p2 is a length in mm",
        Map.of("m", List.of(pressure, new Channel("p2", Unit.MILLIMETRE))));
  }

  private static void assertSaid(String message, Map<String, List<Channel>> delivered) {
    String said =
        assertThrows(IllegalArgumentException.class, () -> ChannelMatch.check(bench(), delivered))
            .getMessage();
    assertTrue(said.startsWith(message), said);
  }
}
