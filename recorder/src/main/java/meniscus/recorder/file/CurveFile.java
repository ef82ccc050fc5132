package meniscus.recorder.file;

import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.refusal.Refusal;

/** A curve typed in from elsewhere: docs/comparing.md says each member. */
public final class CurveFile {

  private static final FormatVersion FORMAT = new FormatVersion("curve", 1, 1);

  /** Digits of a typed number that are its own, and not those of turning it into SI and back. */
  private static final MathContext TYPED_DIGITS = new MathContext(12);

  private CurveFile() {}

  /**
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public static ExternalCurve read(Path file) {
    return read(file.toString(), StrictJson.read(file)).curve();
  }

  /**
   * The same with all that the file says.
   *
   * @param name of the text, for messages
   */
  public static TypedCurve parse(String name, String json) {
    return read(name, StrictJson.parse(name, json));
  }

  private static TypedCurve read(String where, Map<String, Object> raw) {
    ObjectReader members = new ObjectReader(where, raw, member -> {});
    try {
      FORMAT.check(members);
      String name = members.text("name");
      Plan.Units units = UnitsForm.read(members);
      OptionalDouble pressure = members.optionalSi("test_pressure", Dimension.PRESSURE);
      OptionalDouble within = members.optionalSi("within", Dimension.RATIO);
      List<ExternalCurve.Point> points = members.list("points", point -> point(point, units));
      Optional<Plan.Part> part =
          members.has("part") ? Optional.of(PlanFile.part(members.within("part"))) : none();
      Optional<PortKind> port =
          members.has("port_kind")
              ? Optional.of(members.choice("port_kind", PortKind.class))
              : Optional.empty();
      Optional<LocalDate> on = members.optionalText("on").map(day -> day(members, day));
      members.done();
      return members.made(
          () ->
              new TypedCurve(
                  new ExternalCurve(name, pressure, within, points), units, part, port, on));
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  private static Optional<Plan.Part> none() {
    return Optional.empty();
  }

  private static LocalDate day(ObjectReader members, String text) {
    try {
      return LocalDate.parse(text);
    } catch (DateTimeParseException e) {
      throw new Refusal(members.where() + ": \"on\" is a day, such as \"1998-05-06\"", e);
    }
  }

  private static ExternalCurve.Point point(ObjectReader members, Plan.Units units) {
    return members.done(
        new ExternalCurve.Point(
            units.lift().toSi(members.number("lift")), units.flow().toSi(members.number("flow"))));
  }

  /** As it is read back. */
  public static String text(TypedCurve typed) {
    ObjectWriter members = new ObjectWriter(UnitSystem.of(typed.units().lift()));
    ExternalCurve curve = typed.curve();
    members.put(FormatVersion.MEMBER, FORMAT.toString()).put("name", curve.name());
    UnitsForm.write(members, typed.units());
    members.si("test_pressure", curve.testPressurePa(), Dimension.PRESSURE);
    members.si("within", curve.within(), Dimension.RATIO);
    typed.part().ifPresent(part -> members.put("part", PlanFile.write(members.another(), part)));
    typed.port().ifPresent(port -> members.put("port_kind", port.word()));
    typed.on().ifPresent(day -> members.put("on", day.toString()));
    members.list(
        "points",
        curve.points(),
        point ->
            members
                .another()
                .put("lift", typed(typed.units().lift(), point.liftM()))
                .put("flow", typed(typed.units().flow(), point.flowM3PerS())));
    return StrictJson.print(members.members());
  }

  private static double typed(Unit unit, double si) {
    return new BigDecimal(unit.fromSi(si)).round(TYPED_DIGITS).doubleValue();
  }
}
