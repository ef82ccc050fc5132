package meniscus.recorder.file;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.calibrate.Plate;
import meniscus.core.quantity.Dimension;
import meniscus.core.refusal.Refusal;

/**
 * The plates file: what the orifice plates of a shop pass, by certificate, by stated flow, or by
 * their bore alone. docs/calibration.md says each member.
 */
public final class PlatesFile {

  private static final FormatVersion FORMAT = new FormatVersion("plates", 1, 0);

  private PlatesFile() {}

  /**
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public static List<Plate> read(Path file) {
    return read(file.toString(), StrictJson.read(file));
  }

  /** Plates out of JSON text; {@code name} is for messages. */
  public static List<Plate> parse(String name, String json) {
    return read(name, StrictJson.parse(name, json));
  }

  private static List<Plate> read(String name, Map<String, Object> json) {
    ObjectReader members = new ObjectReader(name, json, member -> {});
    try {
      FORMAT.check(members);
      List<Plate> plates = members.list("plates", PlatesFile::plate);
      members.done();
      if (plates.isEmpty()) {
        throw new Refusal(name + ": no plate is listed");
      }
      if (plates.stream().map(Plate::name).distinct().count() < plates.size()) {
        throw new Refusal(
            name + ": two plates have the same name; give each the one written on it");
      }
      return plates;
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  private static Plate plate(ObjectReader members) {
    String name = members.text("name");
    Plate plate = members.has("flow") ? stated(members, name) : bored(members, name);
    Plate.Papers papers =
        new Plate.Papers(members.optionalText("serial"), members.optionalText("certificate"));
    members.done();
    return plate.with(papers);
  }

  private static Plate stated(ObjectReader members, String name) {
    double flow = members.si("flow", Dimension.VOLUME_FLOW);
    double at = members.si("at", Dimension.PRESSURE);
    var air = members.optional("air").map(AirForm::read);
    double u = members.si("standard_uncertainty", Dimension.RATIO);
    String origin = members.text("origin", "stated flow");
    return members.made(() -> Plate.stated(name, flow, at, air, u, origin));
  }

  private static Plate bored(ObjectReader members, String name) {
    double bore = members.si("bore", Dimension.LENGTH);
    double within = members.stepSi("bore_within", Dimension.LENGTH, 0);
    Optional<StatedCoefficient> coefficient =
        members.optional("coefficient").map(PlatesFile::coefficient);
    if (coefficient.isEmpty()) {
      return members.made(() -> Plate.byEquation(name, bore, within));
    }
    String origin = members.text("origin", "certificate");
    return members.made(() -> Plate.certified(name, bore, within, coefficient.get(), origin));
  }

  private static StatedCoefficient coefficient(ObjectReader members) {
    double value = members.number("value");
    double u = members.si("standard_uncertainty", Dimension.RATIO);
    members.done();
    return members.made(() -> new StatedCoefficient(value, u));
  }
}
