package meniscus.recorder.file;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Consumer;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Amount;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.Rung;
import meniscus.core.lift.ShortPressure;
import meniscus.core.lift.TestSetUp;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.refusal.Refusal;

/** The plan of a lift test, {@code plan.json}: docs/plan-file.md says each member. */
public final class PlanFile {

  static final FormatVersion FORMAT = new FormatVersion("plan", 1, 3);

  private static final double USUAL_AIM_BAND = 0.05;
  private static final double USUAL_TARGET = 0.005;
  private static final double USUAL_LONGEST_S = 60;
  private static final double USUAL_REFERENCE_K = 293.15;
  private static final double USUAL_REFERENCE_PA = 101_325;

  private PlanFile() {}

  /**
   * Reads a plan.
   *
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public static Plan read(Path file) {
    return read(file.toString(), StrictJson.read(file), member -> {});
  }

  /** A plan out of JSON text, such as the copy in a test folder; {@code name} is for messages. */
  public static Plan parse(String name, String json) {
    return read(name, StrictJson.parse(name, json), member -> {});
  }

  /**
   * Whether a file says that it is a plan, be it in order or not. A link, a folder, and whatever
   * cannot be read, is none.
   */
  public static boolean isOne(Path file) {
    try {
      return Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)
          && FORMAT.isNamedBy(StrictJson.read(file).get(FormatVersion.MEMBER));
    } catch (FileNotAccepted e) {
      return false;
    }
  }

  /**
   * Writes a plan whole or not at all.
   *
   * @throws IOException when the disk does not take it; an old file is then as it was
   */
  public static void write(Path file, Plan plan) throws IOException {
    WholeFile.write(file, text(plan));
  }

  /** The file's text; {@link #parse} gives the same plan again, to the last digit. */
  public static String text(Plan plan) {
    UnitSystem system =
        plan.units().lift() == UnitSystem.INCH.unit(Dimension.LENGTH)
            ? UnitSystem.INCH
            : UnitSystem.METRIC;
    return StrictJson.print(write(new ObjectWriter(system), plan).members());
  }

  static Plan read(String name, Map<String, Object> json, Consumer<String> asked) {
    ObjectReader members = new ObjectReader(name, json, asked);
    try {
      FORMAT.check(members);
      return plan(members);
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  private static Plan plan(ObjectReader members) {
    Plan.Part part = part(members.required("part"));
    PortKind kind = members.choice("port_kind", PortKind.class);
    Direction direction = members.choice("direction", Direction.class);
    Plan.Units units = UnitsForm.read(members);
    double aimPa = members.si("test_pressure", Dimension.PRESSURE);
    double aimBand = members.stepSi("aim_band", Dimension.RATIO, USUAL_AIM_BAND);
    ShortPressure shortPressure =
        members.choice("short_pressure", ShortPressure.class, ShortPressure.KEEP);
    List<Rung> ladder = LadderReader.read(members.required("ladder"), units.lift());
    double tolerance = members.stepSi("tolerance", Dimension.LENGTH, usualTolerance(units.lift()));
    double target = members.stepSi("target", Dimension.RATIO, USUAL_TARGET);
    double longest = members.stepSi("longest", Dimension.TIME, USUAL_LONGEST_S);
    Optional<String> range = members.optionalText("range");
    TestSetUp setUp = SetUpForm.read(members.required("set_up"));
    Plan.Reference reference = reference(members.within("reference"), aimPa);
    List<Plan.ChangeNote> changes = members.list("changes", PlanFile::change);
    members.done();
    return members.made(
        () ->
            new Plan(
                new Plan.Subject(part, kind, changes),
                setUp,
                new Plan.Aim(direction, aimPa, aimBand, shortPressure),
                ladder,
                new Plan.Keeping(tolerance, target, longest),
                range,
                new Plan.Shown(units, reference)));
  }

  private static ObjectWriter write(ObjectWriter written, Plan plan) {
    written
        .put("meniscus", FORMAT.toString())
        .put("part", write(written.another(), plan.part()))
        .put("port_kind", plan.port().word())
        .put("direction", plan.direction().word());
    UnitsForm.write(written, plan.units());
    written
        .si("test_pressure", plan.testPressurePa(), Dimension.PRESSURE)
        .step("aim_band", plan.aimBand(), Dimension.RATIO)
        .put("short_pressure", plan.shortPressure().word())
        .put("ladder", LadderWriter.write(written.another(), plan.ladder(), plan.units().lift()))
        .step("tolerance", plan.toleranceM(), Dimension.LENGTH)
        .step("target", plan.target(), Dimension.RATIO)
        .step("longest", plan.longestSeconds(), Dimension.TIME);
    plan.range().ifPresent(range -> written.put("range", range));
    return written
        .put("set_up", SetUpForm.write(written.another(), plan.setUp()))
        .put("reference", write(written.another(), plan.reference()))
        .list("changes", plan.changes(), change -> write(written.another(), change));
  }

  /** Two thousandths of an inch, or a twentieth of a millimetre. */
  private static double usualTolerance(Unit lift) {
    return lift == Unit.INCH_LENGTH ? Unit.INCH_LENGTH.toSi(0.002) : 0.05e-3;
  }

  static Plan.Part part(ObjectReader members) {
    return members.done(
        new Plan.Part(
            members.text("head"),
            members.text("chamber", ""),
            members.text("port", ""),
            members.text("valve_job", ""),
            members.text("customer_reference", ""),
            members.text("state", ""),
            new Plan.Sizes(
                members.optionalSi("port_volume", Dimension.VOLUME),
                members.optionalSi("chamber_volume", Dimension.VOLUME))));
  }

  static ObjectWriter write(ObjectWriter written, Plan.Part part) {
    return written
        .put("head", part.head())
        .text("chamber", part.chamber())
        .text("port", part.port())
        .text("valve_job", part.valveJob())
        .text("customer_reference", part.customerReference())
        .text("state", part.state())
        .si("port_volume", part.sizes().portM3(), Dimension.VOLUME)
        .si("chamber_volume", part.sizes().chamberM3(), Dimension.VOLUME);
  }

  private static Plan.Reference reference(ObjectReader members, double aimPa) {
    return members.done(
        new Plan.Reference(
            members.si("temperature", Dimension.TEMPERATURE, USUAL_REFERENCE_K),
            members.si("pressure", Dimension.PRESSURE, USUAL_REFERENCE_PA),
            members.si("humidity", Dimension.RATIO, 0),
            members.si("test_pressure", Dimension.PRESSURE, aimPa)));
  }

  private static ObjectWriter write(ObjectWriter written, Plan.Reference reference) {
    return written
        .si("temperature", reference.temperatureK(), Dimension.TEMPERATURE)
        .si("pressure", reference.pressurePa(), Dimension.PRESSURE)
        .si("humidity", reference.relativeHumidity(), Dimension.RATIO)
        .si("test_pressure", reference.testPressurePa(), Dimension.PRESSURE);
  }

  /** Also of a note that was written afterwards. */
  static Plan.ChangeNote change(ObjectReader members) {
    String what = members.text("what");
    String where = members.text("where", "");
    Optional<Amount> before = amount(members, "before");
    Optional<Amount> after = amount(members, "after");
    OptionalDouble left = members.optionalSi("left", Dimension.LENGTH);
    OptionalDouble atLeast = members.optionalSi("at_least", Dimension.LENGTH);
    Optional<Plan.Expectation> expect = members.optional("expect").map(PlanFile::expectation);
    members.done();
    return members.made(
        () -> {
          if (atLeast.isPresent() && left.isEmpty()) {
            throw new Refusal("\"at_least\" needs \"left\": how much was measured to remain");
          }
          return new Plan.ChangeNote(
              what,
              where,
              before,
              after,
              left.isPresent()
                  ? Optional.of(new Plan.Left(left.getAsDouble(), atLeast))
                  : Optional.empty(),
              expect);
        });
  }

  private static Optional<Amount> amount(ObjectReader members, String name) {
    return members.optionalText(name).map(text -> members.made(() -> Amount.of(text)));
  }

  private static Plan.Expectation expectation(ObjectReader members) {
    Plan.Expectation.Effect effect = members.choice("effect", Plan.Expectation.Effect.class);
    double from = members.si("from_lift", Dimension.LENGTH, 0);
    members.done();
    return members.made(() -> new Plan.Expectation(effect, from));
  }

  private static ObjectWriter write(ObjectWriter written, Plan.Expectation expect) {
    return written
        .put("effect", expect.effect().word())
        .si("from_lift", expect.fromLiftM(), Dimension.LENGTH);
  }

  static ObjectWriter write(ObjectWriter written, Plan.ChangeNote change) {
    written.put("what", change.what()).text("where", change.where());
    change.before().ifPresent(amount -> written.put("before", amount.text()));
    change.after().ifPresent(amount -> written.put("after", amount.text()));
    change
        .left()
        .ifPresent(
            left ->
                written
                    .si("left", left.metres(), Dimension.LENGTH)
                    .si("at_least", left.atLeastM(), Dimension.LENGTH));
    change.expect().ifPresent(e -> written.put("expect", write(written.another(), e)));
    return written;
  }
}
