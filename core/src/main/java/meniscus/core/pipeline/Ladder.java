package meniscus.core.pipeline;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.pipeline.RunState.Mark;

/** The rungs of a test and what became of each, with every step able to be taken back. */
final class Ladder {

  private final List<Slot> slots = new ArrayList<>();
  private final Deque<Step> steps = new ArrayDeque<>();
  private int current;

  /** A rung and what became of it. */
  private static final class Slot {
    final Rung rung;
    Optional<LiftPoint> point = Optional.empty();
    boolean skipped;

    /** After an interruption: taken once more, the old point stands until then. */
    boolean again;

    int attempt = 1;

    Slot(Rung rung) {
      this.rung = rung;
    }

    boolean open() {
      return again || point.isEmpty() && !skipped;
    }
  }

  /** A step that can be taken back: the slot as it was before. */
  private record Step(String what, int index, Optional<LiftPoint> point, boolean skipped) {}

  /**
   * A step that was taken back.
   *
   * @param rung whose step it was
   * @param what it was
   * @param now how the rung stands: {@code open}, {@code skipped} or {@code kept:attempt}
   */
  record TakenBack(Rung rung, String what, String now) {}

  Ladder(List<Rung> rungs) {
    rungs.forEach(rung -> slots.add(new Slot(rung)));
  }

  /**
   * Takes up what an earlier segment left; the last kept rung is to be taken once more.
   *
   * @param attempts how often each rung was kept, by its number
   */
  void takeUp(List<LiftPoint> kept, List<Integer> skipped, Map<Integer, Integer> attempts) {
    for (Slot slot : slots) {
      int number = slot.rung.number();
      slot.point = kept.stream().filter(point -> point.rung() == number).findFirst();
      slot.skipped = skipped.contains(number);
      slot.attempt = Math.max(1, attempts.getOrDefault(number, 0));
    }
    int last = lastKept();
    if (last >= 0) {
      slots.get(last).again = true;
    }
    for (Slot slot : slots) {
      slot.attempt += slot.open() && attempts.containsKey(slot.rung.number()) ? 1 : 0;
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
    return (int) slots.stream().filter(Slot::open).count();
  }

  List<LiftPoint> points() {
    return slots.stream().flatMap(slot -> slot.point.stream()).toList();
  }

  List<Mark> marks() {
    return slots.stream().map(slot -> new Mark(slot.rung, slot.point, slot.skipped)).toList();
  }

  /**
   * Keeps the wanted rung and goes on.
   *
   * @return the point that it repeats, when it was taken once more after an interruption
   */
  Optional<LiftPoint> keep(LiftPoint point) {
    Slot slot = slots.get(current);
    remember("keep", current);
    Optional<LiftPoint> repeated = slot.again ? slot.point : Optional.empty();
    slot.again = false;
    slot.point = Optional.of(point);
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
      remember("skip", current);
      slot.skipped = true;
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
    boolean thrownAway = !slots.get(index).open();
    if (thrownAway) {
      remember("redo", index);
      reopen(slots.get(index));
    }
    current = index;
    return thrownAway;
  }

  /** Opens all rungs that were kept above a test pressure, and goes to the first open one. */
  List<Rung> reopenAbove(double testPressurePa) {
    List<Rung> reopened = new ArrayList<>();
    for (Slot slot : slots) {
      if (slot.point.map(point -> point.testPressurePa() > testPressurePa).orElse(false)) {
        reopen(slot);
        reopened.add(slot.rung);
      }
    }
    goOn();
    return reopened;
  }

  /** Takes the last step back and makes its rung wanted when it is open again. */
  Optional<TakenBack> undo() {
    if (steps.isEmpty()) {
      return Optional.empty();
    }
    Step step = steps.pop();
    Slot slot = slots.get(step.index);
    slot.point = step.point;
    slot.skipped = step.skipped;
    if (slot.open()) {
      current = step.index;
    } else {
      goOn();
    }
    String now =
        slot.point
            .map(point -> "kept:" + point.attempt())
            .orElse(slot.skipped ? "skipped" : "open");
    return Optional.of(new TakenBack(slot.rung, step.what, now));
  }

  /** Index of the rung with a number, when it is kept, skipped or wanted; −1 when not. */
  int indexOf(int number) {
    for (int i = 0; i < slots.size(); i++) {
      Slot slot = slots.get(i);
      if (slot.rung.number() == number && (!slot.open() || i == current)) {
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
    for (int i = 0; i < slots.size(); i++) {
      Optional<LiftPoint> point = slots.get(i).point;
      if (point.isPresent()
          && (last < 0
              || point.get().keptAt().isAfter(slots.get(last).point.orElseThrow().keptAt()))) {
        last = i;
      }
    }
    return last;
  }

  Rung rung(int index) {
    return slots.get(index).rung;
  }

  private void reopen(Slot slot) {
    slot.point = Optional.empty();
    slot.skipped = false;
    slot.again = false;
    slot.attempt++;
  }

  private void remember(String what, int index) {
    Slot slot = slots.get(index);
    steps.push(new Step(what, index, slot.point, slot.skipped));
  }

  private void goOn() {
    current = 0;
    while (current < slots.size() && !slots.get(current).open()) {
      current++;
    }
  }
}
