package meniscus.drivers.simulated;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import meniscus.core.air.AirState;
import meniscus.core.air.ReferenceAir;
import meniscus.core.flow.Direction;
import meniscus.core.flow.EffectiveArea;
import meniscus.core.flow.Expansibility;
import meniscus.core.flow.OrificePlate;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.SheetJson;
import meniscus.drivers.text.TextAskDriver;
import meniscus.drivers.text.TextStreamDriver;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Bytes of an ideal bench through the shipped sheets, the general drivers and core's flow equations
 * must give the port's effective area. Simulation and measurement share no line of that path.
 */
class MeasuringChainTest {

  private static final Scenario IDEAL = Scenario.demo().without(Effect.values());

  /** The last reading of each channel, SI. */
  private final Map<String, Double> readings = new HashMap<>();

  private int rejects;

  @ParameterizedTest
  @ValueSource(doubles = {0.1, 0.3, 0.6})
  void anIdealBenchMeasuresTheTruth(double liftInches) {
    Scenario scenario = IDEAL;
    Stand stand =
        Stand.running(
            scenario, new Mounted.Head(scenario.after()), liftInches * Stand.INCH, Stand.AIM, 1);
    read(stand.bench);

    AirState room =
        new AirState(
            readings.get("temperature"), readings.get("pressure"), readings.get("humidity"));
    double testPressurePa = readings.get("test_pressure");
    AirState plenum = room.movedTo(room.temperatureK(), room.pressurePa() - testPressurePa);
    double boreM = scenario.elements().get(0).boreM();
    double flow =
        OrificePlate.betweenRooms(boreM)
            .massFlow(plenum, readings.get("element_drop"), Expansibility.ISO_2003);
    double area = EffectiveArea.fromMassFlow(flow, room, testPressurePa);

    TrueLift truth =
        TrueLift.ladder(
                scenario,
                List.of(liftInches * Stand.INCH),
                Direction.SUCTION,
                Stand.AIM,
                ReferenceAir.DRY_20C.state())
            .get(0);
    assertEquals(liftInches * Stand.INCH, readings.get("lift"), 0.6e-6);
    // 3e-4: rounding of the drop to 0.25 Pa at the lowest lift, κ and real-gas terms elsewhere.
    assertEquals(1, area / truth.afterAreaM2(), 3e-4);
    assertEquals(0, rejects);
  }

  @Test
  void aWholeRestlessTestIsReadWithoutAReject() {
    SimulatedBench bench = new SimulatedBench(Scenario.demo(), 8);
    bench.mount(new Mounted.Head(bench.scenario().before()));
    bench.blower(true);
    bench.setLift(5e-3);
    read(bench);
    assertEquals(0, rejects);
    assertEquals(Stand.AIM, readings.get("test_pressure"), 400);
  }

  /** Listens for 20 s to everything. */
  private void read(SimulatedBench bench) {
    bench.drain((instrument, at, bytes) -> {});
    Map<String, Ear> ears = new HashMap<>();
    ears.put(SimulatedBench.MANOMETER, new Ear(new TextStreamDriver(), SimulatedBench.MANOMETER));
    ears.put(SimulatedBench.DIAL, new Ear(new TextStreamDriver(), SimulatedBench.DIAL));
    ears.put(SimulatedBench.STATION, new Ear(new TextAskDriver(), SimulatedBench.STATION));
    ears.values().forEach(ear -> ear.act(bench, ear.decoder.opened(bench.now())));
    for (int i = 0; i < 2000; i++) {
      bench.advanceTo(bench.now().plusSeconds(0.01));
      bench.drain(
          (instrument, at, bytes) -> {
            Ear ear = ears.get(instrument);
            ear.act(bench, ear.decoder.bytes(at, bytes, ear));
          });
      ears.values().forEach(ear -> ear.tick(bench));
    }
  }

  private final class Ear implements Sink {
    private final String instrument;
    private final List<Channel> channels;
    private final Decoder decoder;
    private Next wanted = Next.NOTHING;

    Ear(InstrumentDriver driver, String instrument) {
      this.instrument = instrument;
      InstrumentSheet sheet = SheetJson.shipped(instrument);
      channels = driver.channels(sheet);
      decoder = driver.newDecoder(sheet);
    }

    void act(SimulatedBench bench, Next next) {
      wanted = next;
      next.requests().forEach(request -> bench.received(instrument, request.bytes()));
    }

    void tick(SimulatedBench bench) {
      if (wanted.wakeAt().isPresent() && !wanted.wakeAt().get().isAfter(bench.now())) {
        act(bench, decoder.tick(bench.now(), this));
      }
    }

    @Override
    public void reading(int channel, double value, Moment moment) {
      readings.put(channels.get(channel).name(), channels.get(channel).unit().toSi(value));
    }

    @Override
    public void frame(Moment moment) {}

    @Override
    public void rejected(Rejected rejected) {
      rejects++;
    }
  }
}
