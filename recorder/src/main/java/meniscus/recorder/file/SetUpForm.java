package meniscus.recorder.file;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.lift.TestSetUp;
import meniscus.core.quantity.Dimension;
import meniscus.core.refusal.Refusal;

/** Everything around the head that a test depends on. */
final class SetUpForm {

  static final String BARE = "bare";

  private static final List<String> ENTRIES = List.of(BARE, "radius", "clay", "manifold");
  private static final List<String> EXITS = List.of(BARE, "pipe");
  private static final int MOST_VALVES = 8;

  private SetUpForm() {}

  static TestSetUp read(ObjectReader members) {
    List<Double> heads = members.listOfSi("valve_heads", Dimension.LENGTH);
    if (heads.isEmpty()) {
      throw new Refusal(
          members.where()
              + ": \"valve_heads\" is missing; list the head diameter of each opened valve");
    }
    int opened = members.whole("valves_opened", heads.size(), 1, MOST_VALVES);
    int fitted = members.whole("valves_fitted", opened, 1, MOST_VALVES);
    Optional<TestSetUp.Seat> seat = members.optional("seat").map(SetUpForm::seat);
    OptionalDouble smallest = members.optionalSi("smallest_area", Dimension.AREA);
    Optional<TestSetUp.Adapter> adapter = members.optional("adapter").map(SetUpForm::adapter);
    String entry = members.word("entry", ENTRIES, BARE);
    String exit = members.word("exit", EXITS, BARE);
    String plugged = members.text("plugged_holes", "");
    String touches = members.text("indicator_touches", "");
    Optional<TestSetUp.Spring> spring = members.optional("spring").map(SetUpForm::spring);
    OptionalDouble liftZero = members.optionalSi("lift_zero", Dimension.LENGTH);
    members.done();
    return members.made(
        () ->
            new TestSetUp(
                new TestSetUp.Valves(fitted, opened, heads, seat, spring),
                smallest,
                adapter,
                new TestSetUp.Fitted(entry, exit, plugged),
                new TestSetUp.Indicator(touches, liftZero)));
  }

  static ObjectWriter write(ObjectWriter written, TestSetUp setUp) {
    written
        .put(
            "valve_heads",
            setUp.valveHeadsM().stream()
                .map(head -> written.siText(head, Dimension.LENGTH))
                .toList())
        .put("valves_opened", setUp.valvesOpened())
        .put("valves_fitted", setUp.valvesFitted());
    setUp.seat().ifPresent(seat -> written.put("seat", write(written.another(), seat)));
    written.si("smallest_area", setUp.smallestAreaM2(), Dimension.AREA);
    setUp.adapter().ifPresent(adapter -> written.put("adapter", write(written.another(), adapter)));
    written
        .put("entry", setUp.entry())
        .put("exit", setUp.exit())
        .text("plugged_holes", setUp.pluggedHoles())
        .text("indicator_touches", setUp.indicatorTouches());
    setUp.spring().ifPresent(spring -> written.put("spring", write(written.another(), spring)));
    return written.si("lift_zero", setUp.liftZeroM(), Dimension.LENGTH);
  }

  private static TestSetUp.Seat seat(ObjectReader members) {
    return members.done(
        new TestSetUp.Seat(
            members.optionalSi("outer", Dimension.LENGTH),
            members.si("width", Dimension.LENGTH),
            members.si("angle", Dimension.ANGLE),
            members.si("throat", Dimension.LENGTH),
            members.si("stem", Dimension.LENGTH)));
  }

  private static ObjectWriter write(ObjectWriter written, TestSetUp.Seat seat) {
    return written
        .si("outer", seat.outerM(), Dimension.LENGTH)
        .si("width", seat.widthM(), Dimension.LENGTH)
        .si("angle", seat.angleRad(), Dimension.ANGLE)
        .si("throat", seat.throatM(), Dimension.LENGTH)
        .si("stem", seat.stemM(), Dimension.LENGTH);
  }

  private static TestSetUp.Adapter adapter(ObjectReader members) {
    return members.done(
        new TestSetUp.Adapter(
            members.si("diameter", Dimension.LENGTH),
            members.si("length", Dimension.LENGTH),
            members.si("offset", Dimension.LENGTH, 0)));
  }

  private static ObjectWriter write(ObjectWriter written, TestSetUp.Adapter adapter) {
    return written
        .si("diameter", adapter.diameterM(), Dimension.LENGTH)
        .si("length", adapter.lengthM(), Dimension.LENGTH)
        .step("offset", adapter.offsetM(), Dimension.LENGTH);
  }

  private static TestSetUp.Spring spring(ObjectReader members) {
    return members.done(
        new TestSetUp.Spring(
            members.si("seat_load", Dimension.FORCE),
            members.si("rate", Dimension.STIFFNESS),
            members.si("valve_mass", Dimension.MASS),
            members.si("indicator_force", Dimension.FORCE, 0)));
  }

  private static ObjectWriter write(ObjectWriter written, TestSetUp.Spring spring) {
    return written
        .si("seat_load", spring.seatLoadN(), Dimension.FORCE)
        .si("rate", spring.rateNPerM(), Dimension.STIFFNESS)
        .si("valve_mass", spring.valveMassKg(), Dimension.MASS)
        .step("indicator_force", spring.indicatorForceN(), Dimension.FORCE);
  }
}
