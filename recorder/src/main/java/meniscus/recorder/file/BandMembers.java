package meniscus.recorder.file;

import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.ToDoubleFunction;
import meniscus.core.steadiness.Band;
import meniscus.core.steadiness.BandLevels;

/**
 * How loud a fast channel was on a plate, as members of an object beside others: {@code
 * fluctuation_20_100} for the root mean square [Pa], {@code fluctuation_20_100_u} for its standard
 * uncertainty. Records from before have none.
 */
public final class BandMembers {

  private static final String UNCERTAINTY = "_u";

  private BandMembers() {}

  /** Name to number, in the order of the bands. */
  public static Map<String, Double> of(Map<Band, BandLevels.Level> loud) {
    Map<String, Double> members = new LinkedHashMap<>();
    for (Band band : Band.values()) {
      if (loud.containsKey(band)) {
        members.put(band.word(), loud.get(band).rms());
        members.put(band.word() + UNCERTAINTY, loud.get(band).standardUncertainty());
      }
    }
    return members;
  }

  /**
   * @param member number of a name, NaN where there is none
   */
  public static Map<Band, BandLevels.Level> read(ToDoubleFunction<String> member) {
    Map<Band, BandLevels.Level> loud = new EnumMap<>(Band.class);
    for (Band band : Band.values()) {
      double rms = member.applyAsDouble(band.word());
      double u = member.applyAsDouble(band.word() + UNCERTAINTY);
      if (rms > 0 && u >= 0) {
        loud.put(band, new BandLevels.Level(rms, u));
      }
    }
    return loud;
  }
}
