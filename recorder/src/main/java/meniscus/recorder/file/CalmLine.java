package meniscus.recorder.file;

import java.io.IOException;
import java.util.LinkedHashMap;
import java.util.Map;
import meniscus.core.refusal.Refusal;
import meniscus.core.steadiness.CalmRun;

/**
 * A calm run as one line of JSON, its samples in a file of their own: how it is kept until the calm
 * record that it belongs to is whole.
 *
 * @param plate its name
 * @param askedPa test pressure that was asked for [Pa]
 * @param seconds how long it was to be [s]
 * @param run what was recorded
 */
public record CalmLine(String plate, double askedPa, double seconds, CalmRun run)
    implements KeptLine {

  /** Where the samples of runs lie. */
  @FunctionalInterface
  public interface Samples {
    /**
     * @param known all of a run but its samples
     * @return the same with its samples
     */
    CalmRun of(CalmRun known) throws IOException;
  }

  @Override
  public String text() {
    Map<String, Object> members = new LinkedHashMap<>();
    members.put("plate", plate);
    members.put("asked", askedPa);
    members.put("seconds", seconds);
    members.put("run", run.id());
    members.put("mean", run.mean());
    members.put("range", run.range());
    members.put("direction", run.direction());
    members.put("test_pressure", run.testPressurePa());
    members.put("samples", run.values().length);
    members.putAll(BandMembers.of(run.loud()));
    return StrictJson.printLine(members);
  }

  /**
   * @throws FileNotAccepted when the line or its samples are not whole
   */
  public static CalmLine parse(String name, String line, Samples samples) {
    ObjectReader members = new ObjectReader(name, StrictJson.parse(name, line), member -> {});
    try {
      CalmRun known =
          new CalmRun(
              members.text("run"),
              members.number("mean"),
              new CalmRun.Where(
                  members.text("range"),
                  members.text("direction"),
                  members.number("test_pressure")),
              BandMembers.read(member -> members.number(member, Double.NaN)),
              new double[0],
              new double[0]);
      CalmRun run = samples.of(known);
      if (run.values().length != members.number("samples")) {
        throw new Refusal("samples are missing");
      }
      return new CalmLine(
          members.text("plate"), members.number("asked"), members.number("seconds"), run);
    } catch (IllegalArgumentException | IOException e) {
      throw new FileNotAccepted(name + ": a run is not whole: " + e.getMessage(), e);
    }
  }
}
