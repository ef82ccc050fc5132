package meniscus.drivers.simulated;

/** Opener, valve on its spring, and the play of the dial indicator that follows the valve. */
final class LiftGear {

  private static final double GRAVITY = 9.80665;

  private final Scenario.ValveTrain train;
  private final double backlashM;
  private double targetM;
  private double openerM;
  private double liftM;
  private double followedM;

  LiftGear(Scenario.ValveTrain train, double backlashM) {
    this.train = train;
    this.backlashM = backlashM;
  }

  void turnTo(double metres) {
    targetM = Math.max(0, metres);
  }

  /**
   * @param airN force of the air on the valve, positive when it opens [N]
   */
  void step(double stepS, double airN) {
    double reach = train.openerMPerS() * stepS;
    openerM += Math.max(-reach, Math.min(targetM - openerM, reach));
    liftM = restingLiftM(airN);
    // The indicator is dragged along by the valve opening, and by the valve closing only once the
    // play is used up; a valve dropped on its seat shakes it back.
    followedM =
        openerM == 0 && liftM == 0 ? 0 : Math.max(liftM, Math.min(followedM, liftM + backlashM));
  }

  /** Where the valve comes to rest: held by the opener, or floating on its spring. */
  private double restingLiftM(double airN) {
    var spring = train.spring();
    double opening = airN + spring.valveMassKg() * GRAVITY + spring.indicatorForceN();
    double floating = (opening - spring.seatLoadN()) / spring.rateNPerM();
    if (floating > openerM) {
      return floating;
    }
    return openerM == 0 ? 0 : Math.max(0, openerM + airN / train.openerNPerM());
  }

  double targetM() {
    return targetM;
  }

  boolean resting() {
    return openerM == targetM;
  }

  double liftM() {
    return liftM;
  }

  /** Lift as the dial's plunger has it, zero error apart. */
  double followedM() {
    return followedM;
  }

  /** True when the opener no longer touches the valve. */
  boolean floating() {
    return liftM > openerM + 1e-5;
  }
}
