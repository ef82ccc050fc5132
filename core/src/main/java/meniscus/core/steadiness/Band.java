package meniscus.core.steadiness;

import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.quantity.Text;

/**
 * A band of frequencies that a fast channel is reduced to. Separation bubbles breathe at Strouhal
 * numbers of 0.01 to 0.1 and shed at 0.6 to 1 (published for bumps, ramps and plates, none of them
 * a cylinder head: docs/physics.md); on 20 mm at 100 m/s that is 50 to 500 Hz and some kilohertz.
 */
public enum Band {
  LOW(20, 100),
  MIDDLE(100, 500),
  HIGH(500, 2000);

  private final double lowHz;
  private final double highHz;

  Band(double lowHz, double highHz) {
    this.lowHz = lowHz;
    this.highHz = highHz;
  }

  public double lowHz() {
    return lowHz;
  }

  public double highHz() {
    return highHz;
  }

  /** As written in files: {@code fluctuation_20_100}. */
  public String word() {
    return Text.of("fluctuation_%.0f_%.0f", lowHz, highHz);
  }

  /** Decibels of a natural logarithm of a ratio of pressures. */
  public static final double DECIBEL = 20 / Math.log(10);

  /** Its level on the calm record's plates, as written in files. */
  public String wordOnPlates() {
    return word() + "_on_plates";
  }

  /** For people: {@code 20 to 100 Hz}. */
  public String words() {
    return Text.of("%.0f to %.0f Hz", lowHz, highHz);
  }

  public static Optional<Band> named(String word) {
    return Stream.of(values()).filter(band -> band.word().equals(word)).findFirst();
  }
}
