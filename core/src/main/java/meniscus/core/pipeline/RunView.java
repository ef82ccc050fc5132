package meniscus.core.pipeline;

import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Use;
import meniscus.core.pipeline.RunState.Phase;
import meniscus.core.steadiness.Judged;
import meniscus.core.time.Moment;

/** What can be seen of a run while it goes on; changes nothing. */
record RunView(Acquisition acquisition, PointMaker pointMaker, RungWatch watch, Ladder ladder) {

  RunState at(Moment now, RunState.Wanted wanted, List<Question> questions) {
    return new RunState(
        phase(wanted),
        wanted,
        average(now),
        live(wanted.aimPa()),
        ladder.marks(),
        watch.typing().gauges(),
        questions);
  }

  private Phase phase(RunState.Wanted wanted) {
    if (wanted.rung().isEmpty()) {
      return Phase.DONE;
    }
    if (acquisition.window().isPresent()) {
      return Phase.AVERAGING;
    }
    boolean unknown = !watch.typing().complete();
    return watch.blowerOff(wanted.aimPa()) && !unknown ? Phase.BLOWER_OFF : Phase.WAITING;
  }

  private RunState.Average average(Moment now) {
    Optional<RungWindow> window = acquisition.window();
    Optional<Judged> judged = window.map(RungWindow::judged);
    double[] flow = pointMaker.flowOf(judged);
    return new RunState.Average(
        judged,
        window.map(RungWindow::remarks).orElse(List.of()),
        flow[0],
        flow[1],
        window.map(open -> now.secondsSince(open.began())).orElse(0.0));
  }

  private RunState.Live live(double aimPa) {
    Recent areas = acquisition.areaTrace();
    boolean flows = !areas.isEmpty() && !watch.blowerOff(aimPa);
    double[] bounds = areas.bounds();
    return new RunState.Live(
        new RunState.Flow(
            areas.isEmpty() ? Double.NaN : areas.newest(),
            flows ? pointMaker.flowOf(bounds[0]) : Double.NaN,
            flows ? pointMaker.flowOf(areas.mean()) : Double.NaN,
            flows ? pointMaker.flowOf(bounds[1]) : Double.NaN),
        reading(Use.TEST_PRESSURE),
        reading(Use.LIFT),
        acquisition.latest(Use.ELEMENT_DROP));
  }

  private RunState.Reading reading(Use use) {
    return new RunState.Reading(acquisition.latestSeconds(use), acquisition.latest(use));
  }
}
