package meniscus.recorder.file;

import java.util.List;
import java.util.Map;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.UnitSystem;

/**
 * {@code plate.json}: what stands in place of the plan where a plate is read. docs/file-formats.md
 * says each member.
 */
public final class PlateFile {

  /** Within the folder of its readings. */
  public static final String NAME = "plate.json";

  private static final FormatVersion FORMAT = new FormatVersion("plate", 1, 0);

  private PlateFile() {}

  /**
   * @param name for messages
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public static PlateMounted parse(String name, String json) {
    Map<String, Object> raw = StrictJson.parse(name, json);
    ObjectReader members = new ObjectReader(name, raw, member -> {});
    try {
      FORMAT.check(members);
      String plate = members.text("name");
      Plate.Papers papers =
          new Plate.Papers(members.optionalText("serial"), members.optionalText("certificate"));
      PlateReading.Bevel bevel = members.choice("bevel", PlateReading.Bevel.class);
      Direction direction = members.choice("direction", Direction.class);
      String range = members.text("range");
      List<Double> pressures = members.listOfSi("test_pressures", Dimension.PRESSURE);
      double target = members.si("target", Dimension.RATIO);
      double longest = members.si("longest", Dimension.TIME);
      UnitSystem units = members.choice("units", UnitSystem.class);
      members.done();
      return members.made(
          () ->
              new PlateMounted(
                  plate,
                  papers,
                  bevel,
                  new PlateMounted.Asked(direction, range, pressures, target, longest),
                  units));
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  /** The file's text; {@link #parse} gives the same again, to the last digit. */
  public static String text(PlateMounted mounted) {
    ObjectWriter written = new ObjectWriter(mounted.units());
    written.put(FormatVersion.MEMBER, FORMAT.toString()).put("name", mounted.name());
    mounted.papers().serial().ifPresent(serial -> written.put("serial", serial));
    mounted.papers().certificate().ifPresent(paper -> written.put("certificate", paper));
    written
        .put("bevel", mounted.bevel().word())
        .put("direction", mounted.direction().word())
        .put("range", mounted.asked().range())
        .put(
            "test_pressures",
            mounted.asked().testPressuresPa().stream()
                .map(pressure -> written.siText(pressure, Dimension.PRESSURE))
                .toList())
        .step("target", mounted.asked().target(), Dimension.RATIO)
        .si("longest", mounted.asked().longestSeconds(), Dimension.TIME)
        .put("units", mounted.units().word());
    return StrictJson.print(written.members());
  }
}
