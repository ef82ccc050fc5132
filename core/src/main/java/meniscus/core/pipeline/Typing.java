package meniscus.core.pipeline;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.OperatorMessage.Typed.Read;

/**
 * What a person reads of the bench's gauges, and what of it is still to be typed for the wanted
 * rung. The last reading of a gauge counts: whoever mistypes types it again.
 */
final class Typing {

  /** What is read anew at each rung; the air is read when it has changed. */
  private static final Set<Use> AT_EACH_RUNG =
      Set.of(Use.TEST_PRESSURE, Use.ELEMENT_DROP, Use.LIFT);

  /** Without these there is no flow at all. */
  private static final Set<Use> ONCE = Set.of(Use.ROOM_TEMPERATURE, Use.ROOM_PRESSURE);

  private final Acquisition acquisition;
  private final Map<Use, Integer> timesReadBefore = new EnumMap<>(Use.class);

  Typing(Acquisition acquisition) {
    this.acquisition = acquisition;
  }

  /** What was typed until now says nothing any more of lift and pressures. */
  void anew() {
    AT_EACH_RUNG.forEach(use -> timesReadBefore.put(use, acquisition.timesRead(use)));
  }

  /** True when a frame brings what a window was opened with. */
  boolean replaces(Frame frame) {
    return acquisition.byEye().keySet().stream()
        .anyMatch(use -> AT_EACH_RUNG.contains(use) && acquisition.feeds(frame, use));
  }

  boolean byEye(Use use) {
    return acquisition.byEye(use);
  }

  /** True when a person has typed a reading within the gauge's range since it is wanted. */
  boolean typed(Use use) {
    return byEye(use)
        && acquisition.timesRead(use) > timesReadBefore.getOrDefault(use, 0)
        && Double.isFinite(acquisition.latest(use));
  }

  boolean complete() {
    return gauges().stream().noneMatch(RunState.Eye::wanted);
  }

  /** Every gauge that a person reads. */
  List<RunState.Eye> gauges() {
    List<RunState.Eye> gauges = new ArrayList<>();
    acquisition
        .byEye()
        .forEach(
            (use, eye) -> {
              boolean needed = AT_EACH_RUNG.contains(use) || ONCE.contains(use);
              gauges.add(new RunState.Eye(use, eye.channel(), needed && !typed(use)));
            });
    return gauges;
  }

  /** What is to be typed; empty when nothing is. */
  List<Channel> wanted() {
    return gauges().stream().filter(RunState.Eye::wanted).map(RunState.Eye::channel).toList();
  }

  /** The newest readings of the gauges that a frame brings. */
  List<Read> read(Frame frame) {
    return acquisition.byEye().entrySet().stream()
        .filter(gauge -> acquisition.feeds(frame, gauge.getKey()))
        .map(
            gauge ->
                new Read(
                    gauge.getValue().channel(),
                    acquisition.latest(gauge.getKey()),
                    acquisition.halfSwing(gauge.getKey())))
        .toList();
  }
}
