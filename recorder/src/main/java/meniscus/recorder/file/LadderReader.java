package meniscus.recorder.file;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;

/**
 * The ladder: a list of lifts, or lifts from … to … in steps, or rungs one by one. A lift is a
 * plain number in the plan's unit of lift, or text with a unit of its own.
 */
final class LadderReader {

  static final String BOTH = "both";

  private static final int MOST_RUNGS = 500;
  private static final List<String> SWEEPS =
      List.of(Sweep.OPENING.word(), Sweep.CLOSING.word(), BOTH);

  private final ObjectReader members;
  private final Unit unit;
  private final List<Rung> rungs = new ArrayList<>();

  private LadderReader(ObjectReader members, Unit unit) {
    this.members = members;
    this.unit = unit;
  }

  /**
   * @param unit of lifts that name none
   * @throws Refusal for a ladder that cannot be climbed as it is written
   */
  static List<Rung> read(ObjectReader members, Unit unit) {
    return new LadderReader(members, unit).read();
  }

  private List<Rung> read() {
    boolean listed = members.has("lifts");
    boolean single = members.has("rungs");
    boolean stepped = members.has("from") | members.has("to") | members.has("step");
    if ((listed ? 1 : 0) + (single ? 1 : 0) + (stepped ? 1 : 0) != 1) {
      throw wrong(
          "give the lifts once: as \"lifts\", or as \"from\", \"to\" and \"step\", or as \"rungs\"");
    }
    if (single) {
      if (members.names().contains("sweep")) {
        throw wrong("\"sweep\" goes into each of the \"rungs\"");
      }
      members.list("rungs").forEach(this::addOwn);
    } else {
      addSwept(listed ? listed() : stepped());
    }
    if (members.has("return_rung")) {
      addReturn(liftM(members, "return_rung", members.any("return_rung")));
    }
    members.done();
    if (rungs.isEmpty() || rungs.size() > MOST_RUNGS) {
      throw wrong("a ladder has from 1 to " + MOST_RUNGS + " rungs, not " + rungs.size());
    }
    return rungs;
  }

  private List<Double> listed() {
    return members.items("lifts").stream().map(item -> liftM(members, "lifts", item)).toList();
  }

  /** Worked out in decimal, so that 0.05 and 0.1 more is 0.15. */
  private List<Double> stepped() {
    BigDecimal from = decimal("from");
    BigDecimal to = decimal("to");
    BigDecimal step = decimal("step");
    if (step.signum() <= 0) {
      throw wrong("\"step\" must be above zero, whichever way the ladder goes");
    }
    BigDecimal[] steps = to.subtract(from).abs().divideAndRemainder(step);
    if (steps[1].signum() != 0) {
      throw wrong(
          Text.of(
              "from %s to %s is not a whole number of steps of %s; change one of the three, or list"
                  + " the \"lifts\"",
              from.toPlainString(), to.toPlainString(), step.toPlainString()));
    }
    if (steps[0].compareTo(BigDecimal.valueOf(MOST_RUNGS)) >= 0) {
      throw wrong("a ladder has at most " + MOST_RUNGS + " rungs; make the \"step\" larger");
    }
    BigDecimal signed = to.compareTo(from) < 0 ? step.negate() : step;
    List<Double> lifts = new ArrayList<>();
    for (int i = 0; i <= steps[0].intValueExact(); i++) {
      lifts.add(unit.toSi(from.add(signed.multiply(BigDecimal.valueOf(i))).doubleValue()));
    }
    return lifts;
  }

  private void addSwept(List<Double> lifts) {
    String sweep = members.word("sweep", SWEEPS, Sweep.OPENING.word());
    Sweep first = sweep.equals(Sweep.CLOSING.word()) ? Sweep.CLOSING : Sweep.OPENING;
    for (double lift : lifts) {
      Rung rung = rung(members, lift, first, OptionalDouble.empty(), false);
      checkWay(members, rung);
      rungs.add(rung);
    }
    if (sweep.equals(BOTH)) {
      for (int i = lifts.size() - 2; i >= 0; i--) {
        rungs.add(rung(members, lifts.get(i), Sweep.CLOSING, OptionalDouble.empty(), false));
      }
    }
  }

  private void addOwn(ObjectReader own) {
    double lift = liftM(own, "lift", own.any("lift"));
    Sweep sweep = own.choice("sweep", Sweep.class, Sweep.OPENING);
    OptionalDouble pressure = own.optionalSi("test_pressure", Dimension.PRESSURE);
    boolean returns = own.yes("returns", false);
    boolean confirm = own.yes("confirm", false);
    own.done();
    if (!sweep.plansWay() && !confirm) {
      throw new Refusal(
          own.where()
              + ": \""
              + sweep.word()
              + "\" is a sweep of confirm alone; write a plan with the other direction");
    }
    Rung rung = own.made(() -> new Rung(rungs.size() + 1, lift, sweep, pressure, returns, confirm));
    if (!returns && !confirm) {
      checkWay(own, rung);
    }
    rungs.add(rung);
  }

  private void addReturn(double lift) {
    Rung taken =
        rungs.stream()
            .filter(rung -> rung.liftM() == lift)
            .findFirst()
            .orElseThrow(
                () ->
                    wrong(
                        "\"return_rung\": the ladder has no lift of "
                            + shown(lift)
                            + "; name one that it has, to be taken again at the end"));
    rungs.add(rung(members, lift, taken.sweep(), taken.testPressurePa(), true));
  }

  private Rung rung(
      ObjectReader place, double lift, Sweep sweep, OptionalDouble pressure, boolean returns) {
    return place.made(() -> new Rung(rungs.size() + 1, lift, sweep, pressure, returns));
  }

  /** Within a sweep a lift does not go back, and is not taken twice at one test pressure. */
  private void checkWay(ObjectReader place, Rung rung) {
    if (rungs.isEmpty()) {
      return;
    }
    Rung before = rungs.get(rungs.size() - 1);
    if (before.returnRung() || before.sweep() != rung.sweep()) {
      return;
    }
    int way = Double.compare(rung.liftM(), before.liftM());
    if (way == 0 && rung.testPressurePa().equals(before.testPressurePa())) {
      throw new Refusal(
          place.where()
              + ": the lift "
              + shown(rung.liftM())
              + " stands twice in a row; take one out");
    }
    if (way != 0 && way < 0 == (rung.sweep() == Sweep.OPENING)) {
      throw new Refusal(
          Text.of(
              "%s: the lifts %s from %s to %s at rung %d, but the sweep is %s; change their order,"
                  + " or say \"sweep\": \"%s\"",
              place.where(),
              way < 0 ? "fall" : "rise",
              shown(before.liftM()),
              shown(rung.liftM()),
              rung.number(),
              rung.sweep().word(),
              way < 0 ? "closing" : "opening"));
    }
  }

  private double liftM(ObjectReader place, String name, Object item) {
    if (item instanceof Number number) {
      return unit.toSi(number.doubleValue());
    }
    if (item instanceof String text) {
      return place.inside(name, () -> Value.si(text, Dimension.LENGTH));
    }
    throw notALift(place, name);
  }

  private BigDecimal decimal(String name) {
    Object item = members.any(name);
    if (item instanceof Number number) {
      return members.inside(name, () -> new BigDecimal(number.toString()));
    }
    if (item instanceof String text) {
      Value value = members.inside(name, () -> Value.parse(text, Dimension.LENGTH));
      return BigDecimal.valueOf(value.unit() == unit ? value.number() : value.in(unit).number());
    }
    throw notALift(members, name);
  }

  private Refusal notALift(ObjectReader place, String name) {
    return place.wrong(
        name,
        new Refusal(
            "a lift is a number in "
                + unit.symbol()
                + ", or text with a unit such as \"0.500 in\""));
  }

  private Refusal wrong(String what) {
    return new Refusal(members.where() + ": " + what);
  }

  private String shown(double liftM) {
    return QuantityText.shown(liftM, unit);
  }
}
