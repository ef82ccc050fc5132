package meniscus.drivers.simulated;

import java.util.function.Function;
import java.util.function.Supplier;

/** What stands on the bench. */
public sealed interface Mounted {

  <T> T fold(Function<Port, T> head, Function<Plate, T> plate, Supplier<T> blank);

  /**
   * The head, with one of its states under test.
   *
   * @param liftZeroM by how much the dial was set wrong on the shut valve [m]
   * @param leakM3PerS what its joint leaks beyond the usual, at 1 Pa, as the bench's leaks go
   *     [m³/s]
   */
  record Head(Port port, double liftZeroM, double leakM3PerS) implements Mounted {

    /** Put on as it should be. */
    public Head(Port port) {
      this(port, 0, 0);
    }

    @Override
    public <T> T fold(Function<Port, T> head, Function<Plate, T> plate, Supplier<T> blank) {
      return head.apply(port);
    }
  }

  /**
   * A sharp-edged calibration plate.
   *
   * @param boreM true diameter [m]
   * @param coefficient true discharge coefficient [1]
   * @param certifiedCoefficient what its certificate says [1]
   * @param certifiedU95 relative 95 % uncertainty in the certificate [1]
   */
  record Plate(double boreM, double coefficient, double certifiedCoefficient, double certifiedU95)
      implements Mounted {
    public Plate {
      if (!(boreM > 0) || !(coefficient > 0) || !(certifiedCoefficient > 0)) {
        throw new IllegalArgumentException("a plate has a positive bore and coefficient");
      }
    }

    @Override
    public <T> T fold(Function<Port, T> head, Function<Plate, T> plate, Supplier<T> blank) {
      return plate.apply(this);
    }
  }

  /**
   * The bench's hole is closed, and both pressure gauges are teed on a hose with a syringe.
   *
   * @param pressurePa what the syringe holds [Pa]
   */
  record Tee(double pressurePa) implements Mounted {
    @Override
    public <T> T fold(Function<Port, T> head, Function<Plate, T> plate, Supplier<T> blank) {
      return blank.get();
    }
  }

  /** The bench's hole is closed. */
  record Blank() implements Mounted {
    @Override
    public <T> T fold(Function<Port, T> head, Function<Plate, T> plate, Supplier<T> blank) {
      return blank.get();
    }
  }
}
