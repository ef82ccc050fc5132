package meniscus.core.bench;

import java.util.Objects;
import java.util.function.Function;
import meniscus.core.refusal.Refusal;
import meniscus.core.settle.GaugeTransfer;

/** Where the value of a {@link Use} comes from: an instrument's channel, or typed in by hand. */
public sealed interface Source {

  default <T> T fold(Function<Measured, T> measured, Function<Typed, T> typed) {
    return this instanceof Measured it ? measured.apply(it) : typed.apply((Typed) this);
  }

  /**
   * A channel of an instrument.
   *
   * @param instrument id in the bench
   * @param channel name within the instrument
   * @param lowSi lowest value the gauge can show [SI unit of the use]
   * @param highSi highest value the gauge can show [SI]; a reading at or beyond it is over range
   * @param accuracy what its maker or its certificate says
   * @param transfer the gauge's own moving mean; time constant of gauge and tubing
   * @param inverted true when the gauge shows the quantity with the other sign
   */
  record Measured(
      String instrument,
      String channel,
      double lowSi,
      double highSi,
      Accuracy accuracy,
      GaugeTransfer transfer,
      boolean inverted)
      implements Source {
    public Measured {
      Objects.requireNonNull(instrument);
      Objects.requireNonNull(channel);
      Objects.requireNonNull(accuracy);
      if (!(lowSi < highSi)) {
        throw new Refusal(
            "the range of " + instrument + "." + channel + " must rise from low to high");
      }
    }

    /** One without a moving mean. */
    public Measured(
        String instrument,
        String channel,
        double lowSi,
        double highSi,
        Accuracy accuracy,
        double lagSeconds,
        boolean inverted) {
      this(
          instrument, channel, lowSi, highSi, accuracy, new GaugeTransfer(0, lagSeconds), inverted);
    }

    /** The same gauge, taken with the other sign. */
    public Measured turned() {
      return new Measured(instrument, channel, lowSi, highSi, accuracy, transfer, !inverted);
    }

    /** What names this channel among all of the bench: {@code instrument.channel}. */
    public String key() {
      return instrument + "." + channel;
    }
  }

  /**
   * A value typed in, for benches without that instrument.
   *
   * @param valueSi [SI unit of the use]
   * @param halfWidthSi it lies within ± this [SI]
   */
  record Typed(double valueSi, double halfWidthSi) implements Source {
    public Typed {
      if (!Double.isFinite(valueSi) || !(halfWidthSi >= 0)) {
        throw new Refusal("a typed value must be finite and its half-width not negative");
      }
    }
  }
}
