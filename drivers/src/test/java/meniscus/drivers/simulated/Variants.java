package meniscus.drivers.simulated;

import meniscus.core.lift.TestSetUp;

/** The demo's bench as it could be as well. */
final class Variants {

  private Variants() {}

  /** With a blower that cannot hold 28 inH2O at the top lifts as received. */
  static Scenario tiredBlower() {
    Scenario demo = Scenario.demo();
    Scenario.Rig rig = demo.rig();
    return new Scenario(
        demo.room(),
        new Scenario.Rig(
            rig.blower().withShutOffPa(17_000),
            rig.plenumM3(),
            rig.elements(),
            rig.plates(),
            rig.leaks()),
        demo.instruments(),
        demo.head(),
        demo.scales());
  }

  /** With a checking spring that suction overcomes. */
  static Scenario lightSpring() {
    Scenario demo = Scenario.demo();
    Scenario.TestedHead head = demo.head();
    Scenario.ValveTrain train =
        new Scenario.ValveTrain(
            new TestSetUp.Spring(9, 900, 0.11, 0.8),
            head.valveTrain().openerNPerM(),
            head.valveTrain().openerMPerS());
    return new Scenario(
        demo.room(),
        demo.rig(),
        demo.instruments(),
        new Scenario.TestedHead(train, head.fixing(), head.before(), head.after()),
        demo.scales());
  }

  /** With another dial. */
  static Scenario with(Scenario scenario, Scenario.Dial dial) {
    return new Scenario(
        scenario.room(),
        scenario.rig(),
        new Scenario.Instruments(scenario.gauges(), dial, scenario.station()),
        scenario.head(),
        scenario.scales());
  }

  /** With these effects as they are, and all others off. */
  static Scenario only(Scenario scenario, Effect... effects) {
    Scenario only = scenario.without(Effect.values());
    for (Effect effect : effects) {
      only = only.scaled(effect, scenario.scale(effect));
    }
    return only;
  }
}
