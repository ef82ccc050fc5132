package meniscus.core.calibrate;

import java.util.Objects;
import meniscus.core.bench.PointMeans;
import meniscus.core.quantity.Coded;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * A plate in the head's place, read at one test pressure.
 *
 * @param plate its name
 * @param bevel where its bevelled side looks
 * @param means of the reading, worked out with the range's uncorrected element and without any leak
 *     subtracted
 */
public record PlateReading(String plate, Bevel bevel, PointMeans means) {

  /** Where the bevelled side of a plate looks. */
  public enum Bevel implements Coded {
    /** The sharp edge meets the air first, as it must. */
    DOWNSTREAM,
    /** The plate stands the wrong way round. */
    UPSTREAM,
    /** A thin plate without a bevel. */
    NONE;
  }

  public PlateReading {
    Objects.requireNonNull(plate);
    Objects.requireNonNull(bevel);
    Objects.requireNonNull(means);
    if (!(means.dropPa() > 0) || !(means.testPressurePa() > 0)) {
      throw new Refusal(
          Text.of(
              "plate %s: the drop (%.1f Pa) and the test pressure (%.1f Pa) must be above zero: are"
                  + " the hoses swapped, or is the blower off?",
              plate, means.dropPa(), means.testPressurePa()));
    }
    if (bevel == Bevel.UPSTREAM) {
      refuseUpstream(plate);
    }
  }

  /** Refuses a plate that stands the wrong way round, before time is spent on reading it. */
  public static void refuseUpstream(String plate) {
    throw new Refusal(
        "plate "
            + plate
            + " stands with its bevel upstream, where it passes several per cent too much: turn"
            + " it over (on suction the bevel looks into the bench, on blowing into the room) and"
            + " read it again");
  }
}
