package meniscus.drivers.sheet;

import java.util.Optional;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Settings;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;

/**
 * That a channel counts the instrument's samples: {@code "role": "counter", "modulus": 65536,
 * "step": 1}.
 *
 * @param modulus the count after which it begins at 0 again
 * @param step by how much it rises from one frame to the next
 */
public record CounterRole(double modulus, double step) {

  /** Whole numbers up to here are exact in a double: 2^53. */
  private static final double LARGEST_EXACT = 0x1p53;

  public CounterRole {
    if (!isWhole(modulus) || !isWhole(step) || step > modulus / 4) {
      throw new Refusal(
          "\"modulus\" and \"step\" must be whole numbers, \"step\" at most a quarter of"
              + " \"modulus\"");
    }
  }

  /** What a sheet says; empty when the channel has no role. */
  static Optional<CounterRole> of(Settings channel) {
    Optional<String> role = channel.optionalText("role");
    if (role.isEmpty()) {
      return Optional.empty();
    }
    if (!role.get().equals("counter")) {
      throw new Refusal(channel.where() + ", \"role\" must be counter, was \"" + role.get() + "\"");
    }
    return Optional.of(
        SheetChannel.saying(
            channel,
            unused -> new CounterRole(channel.number("modulus"), channel.number("step", 1)),
            ""));
  }

  /** The channel that such a counter makes: its name and unit are always the same. */
  static Channel channel(Settings settings) {
    String name = settings.text("name", Channel.SAMPLE_INDEX);
    String unit = settings.text("unit", Unit.ONE.symbol());
    if (!name.equals(Channel.SAMPLE_INDEX) || !unit.equals(Unit.ONE.symbol())) {
      throw new Refusal(
          settings.where()
              + ": a counter is always the channel \""
              + Channel.SAMPLE_INDEX
              + "\" in the unit \"1\"; leave \"name\" and \"unit\" out");
    }
    return new Channel(name, Unit.ONE);
  }

  private static boolean isWhole(double number) {
    return number >= 1 && number <= LARGEST_EXACT && number == Math.rint(number);
  }
}
