package meniscus.core.pipeline;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.PortFlow.Surroundings;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.remark.Remark;
import meniscus.core.time.Moment;

/** The air around the bench, as it was read last; its gauges may go silent and are done without. */
final class RoomAir {

  private static final Use[] USES = {
    Use.ROOM_TEMPERATURE,
    Use.ROOM_PRESSURE,
    Use.ROOM_HUMIDITY,
    Use.PLENUM_TEMPERATURE,
    Use.ELEMENT_TEMPERATURE
  };

  /**
   * Slow stations speak once in some seconds; one that is silent for longer has gone [s]: our own
   * choice.
   */
  private static final double LONGEST_SILENCE = 60;

  /**
   * What has been read less often than this is typed now and then, and never goes silent: our own
   * choice.
   */
  private static final int SPEAKS_BY_ITSELF = 3;

  /**
   * The air is worked out anew when a reading moved by more than these [K, Pa, 1, K, K]: each moves
   * the flow by less than 0.005 %.
   */
  private static final double[] STEPS = {0.02, 5, 0.005, 0.02, 0.02};

  private final Bench bench;
  private PortFlow portFlow;
  private final Wiring wiring;
  private final Latest latest;
  private final double[] inputs = new double[USES.length];
  private Surroundings air;

  RoomAir(Bench bench, PortFlow portFlow, Wiring wiring, Latest latest) {
    this.bench = bench;
    this.portFlow = portFlow;
    this.wiring = wiring;
    this.latest = latest;
  }

  /** The air takes another way from here on. */
  void through(PortFlow other) {
    portFlow = other;
    forget();
  }

  /** What was read is forgotten; typed values stand. */
  void restart() {
    forget();
    for (Use use : USES) {
      latest.stands(
          use,
          bench
              .source(use)
              .map(source -> source.fold(gauge -> Double.NaN, Source.Typed::valueSi))
              .orElse(Double.NaN));
    }
  }

  /** It is to be worked out anew. */
  void forget() {
    air = null;
  }

  /** True once temperature and pressure of the room have been read or are typed in. */
  boolean known() {
    return Double.isFinite(latest.value(Use.ROOM_TEMPERATURE) + latest.value(Use.ROOM_PRESSURE));
  }

  /** Worked out anew only when a reading has moved. */
  Surroundings surroundings() {
    double moved = 0;
    for (int i = 0; i < USES.length; i++) {
      double value = latest.value(USES[i]);
      if (Double.isFinite(value) || Double.isFinite(inputs[i])) {
        moved = Math.max(moved, Math.abs(value - inputs[i]) / STEPS[i]);
      }
    }
    if (air == null || !(moved <= 1)) {
      for (int i = 0; i < USES.length; i++) {
        inputs[i] = latest.value(USES[i]);
      }
      air =
          portFlow.surroundings(
              new AirState(inputs[0], bench.site().stationPa(inputs[1]), humidity(inputs[2])),
              optional(inputs[3]),
              optional(inputs[4]));
    }
    return air;
  }

  /** Without a hygrometer the middle is taken; the budget counts 0 to 100 %. */
  private static double humidity(double read) {
    return Double.isFinite(read) ? Math.min(1, Math.max(0, read)) : 0.5;
  }

  private static OptionalDouble optional(double value) {
    return Double.isFinite(value) ? OptionalDouble.of(value) : OptionalDouble.empty();
  }

  /**
   * An instrument was lost. One that tells of the air or of what is beside the flow alone, is done
   * without: its last readings stand, and the points say so.
   *
   * @param id of the instrument; another name is of something that no flow can do without
   * @return whether flows go on without it
   */
  boolean goesOnWithout(String id) {
    boolean known = bench.instruments().stream().anyMatch(each -> each.id().equals(id));
    List<Use> uses = wiring.usesOf(bench, id);
    boolean needless =
        uses.stream().allMatch(use -> use.besideTheFlow() || List.of(USES).contains(use));
    if (!known || !needless) {
      return false;
    }
    uses.forEach(latest::isLost);
    return true;
  }

  /** Which readings of the air have gone silent: the last ones are used on. */
  List<Remark> silent(Moment at) {
    List<Remark> gone = new ArrayList<>();
    for (Use use : USES) {
      double seconds = at.seconds() - latest.arrivedSeconds(use);
      boolean silent =
          !wiring.byEye().containsKey(use)
              && latest.times(use) >= SPEAKS_BY_ITSELF
              && seconds > LONGEST_SILENCE;
      if (silent || latest.lost(use)) {
        gone.add(Remark.about(Remark.Kind.AIR_MISSING, use.words(), seconds));
      }
    }
    return gone;
  }
}
