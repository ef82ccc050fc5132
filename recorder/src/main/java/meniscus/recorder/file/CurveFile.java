package meniscus.recorder.file;

import java.nio.file.Path;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Dimension;

/** A curve typed in from elsewhere: docs/comparing.md says each member. */
public final class CurveFile {

  private static final FormatVersion FORMAT = new FormatVersion("curve", 1, 0);

  private CurveFile() {}

  /**
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public static ExternalCurve read(Path file) {
    ObjectReader members = new ObjectReader(file.toString(), StrictJson.read(file), member -> {});
    try {
      FORMAT.check(members);
      String name = members.text("name");
      Plan.Units units = UnitsForm.read(members);
      OptionalDouble pressure = members.optionalSi("test_pressure", Dimension.PRESSURE);
      OptionalDouble within = members.optionalSi("within", Dimension.RATIO);
      List<ExternalCurve.Point> points =
          members.list("points").stream().map(point -> point(point, units)).toList();
      members.done();
      return members.made(() -> new ExternalCurve(name, pressure, within, points));
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  private static ExternalCurve.Point point(ObjectReader members, Plan.Units units) {
    ExternalCurve.Point point =
        new ExternalCurve.Point(
            units.lift().toSi(members.number("lift")), units.flow().toSi(members.number("flow")));
    members.done();
    return point;
  }
}
