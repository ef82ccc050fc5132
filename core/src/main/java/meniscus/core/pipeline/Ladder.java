package meniscus.core.pipeline;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.finding.Confirmation;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.lift.RungStands;
import meniscus.core.lift.StandingPoints;
import meniscus.core.lift.TestEvent;
import meniscus.core.lift.TestEvent.Undone;
import meniscus.core.pipeline.RunState.Mark;

/** The rungs of a test and what became of each, with every step able to be taken back. */
final class Ladder {

  private final List<Slot> slots = new ArrayList<>();
  private final StandingPoints<LiftPoint> stands = new StandingPoints<>();
  private final Deque<Back> steps = new ArrayDeque<>();
  private int current;

  /** A rung and how often it was taken. */
  private static final class Slot {
    final Rung rung;

    /** After an interruption: taken once more, the old point stands until then. */
    boolean again;

    int attempt = 1;

    Slot(Rung rung) {
      this.rung = rung;
    }
  }

  /** A step that can be taken back: how its rung stood before. */
  private record Back(Undone.Step what, int index, RungStands before) {}

  Ladder(List<Rung> rungs) {
    rungs.forEach(rung -> slots.add(new Slot(rung)));
  }

  /** Adds rungs behind the last one. */
  void add(List<Rung> rungs) {
    rungs.forEach(rung -> slots.add(new Slot(rung)));
    goOn();
  }

  /** A number that no rung has. */
  int nextNumber() {
    return slots.stream().mapToInt(slot -> slot.rung.number()).max().orElse(0) + 1;
  }

  List<Rung> rungs() {
    return slots.stream().map(slot -> slot.rung).toList();
  }

  /**
   * Takes up what an earlier segment left; the last kept rung is to be taken once more.
   *
   * @param events of the earlier segments: how often each rung was kept, and which were added
   */
  void takeUp(List<LiftPoint> kept, List<Integer> skipped, List<TestEvent> events) {
    List<Rung> all = Confirmation.added(rungs(), events);
    add(all.subList(slots.size(), all.size()));
    Map<Integer, Integer> attempts = new HashMap<>();
    for (TestEvent event : events) {
      if (event.what() instanceof TestEvent.Kept was) {
        attempts.merge(was.rung(), was.attempt(), Math::max);
      }
    }
    for (LiftPoint point : kept) {
      stands.keep(point.rung(), point.attempt(), point);
    }
    skipped.forEach(rung -> stands.set(rung, RungStands.SKIPPED));
    for (Slot slot : slots) {
      slot.attempt = Math.max(1, attempts.getOrDefault(slot.rung.number(), 0));
    }
    int last = lastKept();
    if (last >= 0) {
      slots.get(last).again = true;
    }
    for (Slot slot : slots) {
      slot.attempt += open(slot) && attempts.containsKey(slot.rung.number()) ? 1 : 0;
    }
    goOn();
  }

  boolean done() {
    return current >= slots.size();
  }

  /** The rung that is wanted now; there is one while not {@link #done()}. */
  Rung wanted() {
    return slots.get(current).rung;
  }

  int attempt() {
    return slots.get(current).attempt;
  }

  int openRungs() {
    return (int) slots.stream().filter(this::open).count();
  }

  List<LiftPoint> points() {
    return slots.stream().flatMap(slot -> point(slot).stream()).toList();
  }

  List<Mark> marks() {
    return slots.stream()
        .map(slot -> new Mark(slot.rung, point(slot), standing(slot).equals(RungStands.SKIPPED)))
        .toList();
  }

  /**
   * Keeps the wanted rung and goes on.
   *
   * @return the point that it repeats, when it was taken once more after an interruption
   */
  Optional<LiftPoint> keep(LiftPoint point) {
    Slot slot = slots.get(current);
    remember(Undone.Step.KEEP, current);
    Optional<LiftPoint> repeated = slot.again ? point(slot) : Optional.empty();
    slot.again = false;
    stands.keep(slot.rung.number(), point.attempt(), point);
    goOn();
    return repeated;
  }

  /**
   * Leaves the wanted rung empty and goes on; a rung that was only to be taken once more keeps its
   * point.
   *
   * @return whether the rung is empty now
   */
  boolean skip() {
    Slot slot = slots.get(current);
    boolean empties = !slot.again;
    if (empties) {
      remember(Undone.Step.SKIP, current);
      stands.set(slot.rung.number(), RungStands.SKIPPED);
    }
    slot.again = false;
    goOn();
    return empties;
  }

  /**
   * Makes a rung wanted again.
   *
   * @return whether a value or a skip was thrown away for it
   */
  boolean redo(int index) {
    boolean thrownAway = !open(slots.get(index));
    if (thrownAway) {
      remember(Undone.Step.REDO, index);
      reopen(slots.get(index));
    }
    current = index;
    return thrownAway;
  }

  /** Opens all rungs that were kept above a test pressure, and goes to the first open one. */
  List<Rung> reopenAbove(double testPressurePa) {
    List<Rung> reopened = new ArrayList<>();
    for (Slot slot : slots) {
      if (point(slot).map(point -> point.testPressurePa() > testPressurePa).orElse(false)) {
        reopen(slot);
        reopened.add(slot.rung);
      }
    }
    goOn();
    return reopened;
  }

  /** Takes the last step back and makes its rung wanted when it is open again. */
  Optional<Undone> undo() {
    if (steps.isEmpty()) {
      return Optional.empty();
    }
    Back step = steps.pop();
    Slot slot = slots.get(step.index);
    int number = slot.rung.number();
    stands.set(number, step.before);
    if (open(slot)) {
      current = step.index;
    } else {
      goOn();
    }
    return Optional.of(new Undone(number, step.before, step.what));
  }

  /** Index of the rung with a number, when it is kept, skipped or wanted; −1 when not. */
  int indexOf(int number) {
    for (int i = 0; i < slots.size(); i++) {
      Slot slot = slots.get(i);
      if (slot.rung.number() == number && (!open(slot) || i == current)) {
        return i;
      }
    }
    return -1;
  }

  /** Index of the wanted rung. */
  int wantedIndex() {
    return current;
  }

  /** Index of the rung that was kept last and still stands; −1 when there is none. */
  int lastKept() {
    int last = -1;
    Optional<LiftPoint> latest = Optional.empty();
    for (int i = 0; i < slots.size(); i++) {
      Optional<LiftPoint> point = point(slots.get(i));
      if (point.isPresent()
          && (latest.isEmpty() || point.get().keptAt().isAfter(latest.get().keptAt()))) {
        last = i;
        latest = point;
      }
    }
    return last;
  }

  Rung rung(int index) {
    return slots.get(index).rung;
  }

  private RungStands standing(Slot slot) {
    return stands.stands(slot.rung.number());
  }

  private Optional<LiftPoint> point(Slot slot) {
    return stands.point(slot.rung.number());
  }

  private boolean open(Slot slot) {
    return slot.again || standing(slot).equals(RungStands.OPEN);
  }

  private void reopen(Slot slot) {
    stands.set(slot.rung.number(), RungStands.OPEN);
    slot.again = false;
    slot.attempt++;
  }

  private void remember(Undone.Step what, int index) {
    steps.push(new Back(what, index, standing(slots.get(index))));
  }

  private void goOn() {
    current = 0;
    while (current < slots.size() && !open(slots.get(current))) {
      current++;
    }
  }
}
