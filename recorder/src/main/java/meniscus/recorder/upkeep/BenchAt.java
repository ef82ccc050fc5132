package meniscus.recorder.upkeep;

import java.nio.file.Path;
import java.util.List;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.quantity.Value;
import meniscus.recorder.feed.BoundInstrument;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;

/**
 * A bench and how its instruments are reached.
 *
 * @param bench as it is known now
 * @param file where it is written; sheets are looked for beside it
 * @param drivers that can be used
 * @param simulation when the bench is the simulated one; of no effect on a real one
 * @param pace how long readings are averaged
 */
public record BenchAt(
    Bench bench, Path file, Drivers drivers, Feeds.Simulation simulation, Pace pace) {

  /**
   * How long readings are averaged.
   *
   * @param leastSeconds a reading takes this long [s]
   * @param longestSeconds and no longer than this [s]
   * @param target relative half-width of the mean that ends it between the two [1]
   */
  public record Pace(double leastSeconds, double longestSeconds, double target) {

    /** For a bench that is to be known well. */
    public static final Pace CAREFUL = new Pace(12, 45, 0.001);

    /** For showing how it is done. */
    public static final Pace BRISK = new Pace(5, 30, 0.002);
  }

  /** The same bench, with something learned. */
  public BenchAt with(Bench learned) {
    return new BenchAt(learned, file, drivers, simulation, pace);
  }

  /** The same, content with means that are known to this relative half-width. */
  public BenchAt withTarget(double target) {
    return new BenchAt(
        bench,
        file,
        drivers,
        simulation,
        new Pace(pace.leastSeconds(), pace.longestSeconds(), target));
  }

  /** The same, with something else on the simulated bench. */
  BenchAt with(Feeds.Simulation other) {
    return new BenchAt(bench, file, drivers, other, pace);
  }

  /** True when nobody need be asked to mount anything. */
  public boolean simulated() {
    return Feeds.isSimulated(Feeds.wire(bench, file, drivers));
  }

  /** Those of test pressure and drop on a range that a person reads. */
  List<ByEye> pressuresByEye(Range range) {
    return ByEye.pressures(
        bench,
        range,
        Feeds.wire(bench, file, drivers).stream().map(BoundInstrument::channels).toList());
  }

  /** A pressure in the unit of the bench's owner. */
  String text(double pascals) {
    UnitSystem units = bench.units();
    return Value.ofSi(pascals, units.unit(Dimension.PRESSURE))
        .toString(units == UnitSystem.INCH ? 3 : 1);
  }
}
