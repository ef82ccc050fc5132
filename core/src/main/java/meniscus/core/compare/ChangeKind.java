package meniscus.core.compare;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import meniscus.core.compare.History.State;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.Plan;

/**
 * What one kind of change did, over every port that got it. Changes are of one kind when their
 * notes say the same of what was done, whatever was measured.
 *
 * @param what as the first note has it
 * @param done in the order of the ports
 */
public record ChangeKind(String what, List<Done> done) {

  /** From fewer ports nothing is said of the next one: two agree by chance. Our own choice. */
  private static final int LEAST_PORTS = 3;

  /**
   * @param port its name
   * @param state that the change led to
   * @param step what it did, where that can be compared
   * @param alone false where other changes were made with it: then nobody knows which did it
   */
  public record Done(String port, State state, Optional<Comparison> step, boolean alone) {}

  public ChangeKind {
    done = List.copyOf(done);
  }

  /**
   * @param histories by name of the port
   */
  public static List<ChangeKind> of(Map<String, History> histories) {
    Map<String, String> names = new LinkedHashMap<>();
    Map<String, List<Done>> kinds = new LinkedHashMap<>();
    histories.forEach(
        (port, history) ->
            history.states().stream()
                .filter(state -> state.parent().isPresent())
                .forEach(
                    state ->
                        state.changes().stream()
                            .map(Plan.ChangeNote::what)
                            .forEach(
                                what -> {
                                  names.putIfAbsent(key(what), what);
                                  kinds
                                      .computeIfAbsent(key(what), key -> new ArrayList<>())
                                      .add(
                                          new Done(
                                              port,
                                              state,
                                              state.step(),
                                              state.changes().size() == 1));
                                })));
    return kinds.entrySet().stream()
        .map(kind -> new ChangeKind(names.get(kind.getKey()), kind.getValue()))
        .toList();
  }

  /** What is the same but for capitals and spaces is the same. */
  static String key(String what) {
    return what.strip().replaceAll("\\s+", " ").toLowerCase(Locale.ROOT);
  }

  /** How often the average of the lifts came out so, where the change was made alone. */
  public long times(Outcome outcome) {
    return alone().stream().filter(step -> step.mean().outcome() == outcome).count();
  }

  /** How often all lifts together came out so, where the change was made alone. */
  public long times(Overall overall) {
    return alone().stream().filter(step -> Overall.of(step) == overall).count();
  }

  /** Steps of this change alone that can be compared. */
  public List<Comparison> alone() {
    return done.stream().filter(Done::alone).flatMap(d -> d.step().stream()).toList();
  }

  /**
   * Mean change of the average of the lifts over ports, as a share [1], with the scatter from port
   * to port (Student's t): what another port of their like may be expected to lie around. Empty for
   * fewer than three ports, and where one port got the change twice, for then they are not
   * independent.
   */
  public Optional<Estimate> typical() {
    List<Done> counted = done.stream().filter(d -> d.alone() && d.step().isPresent()).toList();
    long ports = counted.stream().map(Done::port).distinct().count();
    if (ports < LEAST_PORTS || ports < counted.size()) {
      return Optional.empty();
    }
    double[] shares =
        counted.stream().mapToDouble(d -> d.step().orElseThrow().mean().relative()).toArray();
    double mean = 0;
    for (double share : shares) {
      mean += share / shares.length;
    }
    double squares = 0;
    for (double share : shares) {
      squares += (share - mean) * (share - mean);
    }
    double variance = squares / (shares.length - 1);
    return Optional.of(
        new Estimate(mean, Math.sqrt(variance / shares.length), shares.length - 1.0));
  }
}
