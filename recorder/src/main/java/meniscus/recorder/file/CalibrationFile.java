package meniscus.recorder.file;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.bench.BlindSpot;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CoefficientError;
import meniscus.core.bench.Evidence;
import meniscus.core.bench.Explanation;
import meniscus.core.bench.FittedElement;
import meniscus.core.bench.FlowElement;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.hash.Sha256;

/**
 * A calibration's file, {@code calibrations/<sha256>.json}: named by the hash of its bytes and
 * never rewritten.
 */
public final class CalibrationFile {

  /** Folder beside the bench file. */
  public static final String FOLDER = "calibrations";

  private static final FormatVersion FORMAT = new FormatVersion("calibration", 1, 1);

  private CalibrationFile() {}

  /** Name within a bench's or a test's folder. */
  public static String name(String sha256) {
    return FOLDER + "/" + sha256 + ".json";
  }

  /**
   * Writes a new calibration beside a bench file.
   *
   * @return the calibration under the name of its file
   */
  public static Calibration write(Path benchFolder, Calibration calibration) throws IOException {
    byte[] bytes = text(calibration).getBytes(StandardCharsets.UTF_8);
    String sha256 = Sha256.hex(bytes);
    Path file = benchFolder.resolve(name(sha256));
    if (!Files.exists(file)) {
      WholeFile.write(file, bytes);
    }
    return calibration.named(sha256);
  }

  /**
   * Reads a calibration and holds its bytes against its name.
   *
   * @param name for messages
   * @param sha256 that the bytes must have
   * @throws FileNotAccepted when they have not, or do not make a calibration
   */
  public static Calibration parse(String name, byte[] bytes, String sha256) {
    if (!Sha256.hex(bytes).equals(sha256)) {
      throw new FileNotAccepted(
          name
              + ": its bytes are not those it was named for; it was changed or damaged. Take it from"
              + " a copy, or calibrate again");
    }
    Map<String, Object> json = StrictJson.parse(name, new String(bytes, StandardCharsets.UTF_8));
    ObjectReader members = new ObjectReader(name, json, member -> {});
    try {
      FORMAT.check(members);
      return read(members, sha256);
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  /**
   * A calibration of a bench.
   *
   * @param benchFile that it lies beside
   * @throws FileNotAccepted when its file is gone, or is not what it was
   */
  public static Calibration beside(Path benchFile, String sha256) throws IOException {
    String name = name(sha256);
    Path file = benchFile.toAbsolutePath().resolveSibling(name);
    if (!Files.exists(file)) {
      throw new FileNotAccepted("there is no file " + file + ", which the bench file names");
    }
    return parse(name, Files.readAllBytes(file), sha256);
  }

  private static Calibration read(ObjectReader members, String sha256) {
    Direction direction = members.choice("direction", Direction.class);
    String range = members.text("range");
    Instant at = members.instant("at");
    int epoch = members.whole("epoch", 1, 1, 100_000);
    FlowElement element = ElementForm.read(members.required("element"));
    if (!(element instanceof FittedElement fitted)) {
      throw new Refusal(members.where() + ", \"element\": must be of the kind fitted");
    }
    int size = fitted.coefficients().size();
    List<CoefficientError> errors = members.list("errors", each -> error(each, size));
    Evidence evidence = evidence(members.required("evidence"));
    members.done();
    return new Calibration(sha256, direction, range, at, epoch, fitted, errors, evidence);
  }

  private static CoefficientError error(ObjectReader members, int size) {
    String source = members.text("source");
    String sharedId = members.text("shared_id", "");
    List<Double> effects = members.numbers("effects");
    double degrees = members.number("degrees_of_freedom", Double.POSITIVE_INFINITY);
    members.done();
    if (effects.size() != size || !(degrees > 0)) {
      throw new Refusal(
          members.where()
              + ": an error has one effect on each of the "
              + size
              + " coefficients, and degrees of freedom above zero");
    }
    return new CoefficientError(source, sharedId, effects, degrees);
  }

  private static Evidence evidence(ObjectReader members) {
    List<Evidence.Point> points = members.list("points", CalibrationFile::point);
    List<Evidence.PlateResult> plates = members.list("plates", CalibrationFile::plate);
    Evidence.GoodnessOfFit fit =
        new Evidence.GoodnessOfFit(
            members.number("chi_square"),
            members.whole("degrees_of_freedom", 0, 0, 1_000_000),
            members.number("chance_of_worse"),
            members.number("widened"));
    // Worked out from the plates, written for other programs.
    members.number("leave_one_out_error");
    Optional<String> disagreeing = members.optionalText("disagreeing");
    List<Explanation> explanations = members.list("explanations", CalibrationFile::explanation);
    return members.done(
        new Evidence(
            points,
            plates,
            fit,
            explanations.isEmpty() ? ofEarlier(disagreeing, plates) : explanations,
            members.list("blind_spots", CalibrationFile::blindSpot),
            members.items("remarks").stream().map(Object::toString).toList()));
  }

  /** Earlier versions named a plate that stood out at 5 %, and knew no other explanation. */
  private static List<Explanation> ofEarlier(
      Optional<String> disagreeing, List<Evidence.PlateResult> plates) {
    return plates.stream()
        .filter(plate -> disagreeing.filter(plate.plate()::equals).isPresent())
        .map(
            plate ->
                new Explanation(
                    Explanation.Kind.PLATE,
                    plate.plate(),
                    plate.passesMore(),
                    plate.standardUncertainty(),
                    0.95))
        .toList();
  }

  private static Explanation explanation(ObjectReader members) {
    return members.done(
        new Explanation(
            kind(members, "kind"),
            members.text("plate", ""),
            members.number("size"),
            members.number("standard_uncertainty"),
            members.number("probability")));
  }

  private static BlindSpot blindSpot(ObjectReader members) {
    return members.done(
        new BlindSpot(
            kind(members, "kind"),
            members.number("size"),
            kind(members, "taken_for"),
            members.optionalNumber("bore_m")));
  }

  private static Explanation.Kind kind(ObjectReader members, String member) {
    return members.choice(member, Explanation.Kind.class);
  }

  private static Evidence.Point point(ObjectReader members) {
    return members.done(
        new Evidence.Point(
            members.text("plate"),
            members.si("test_pressure", Dimension.PRESSURE),
            members.si("drop", Dimension.PRESSURE),
            members.number("ratio"),
            members.number("standard_uncertainty"),
            members.number("residual")));
  }

  private static Evidence.PlateResult plate(ObjectReader members) {
    return members.done(
        new Evidence.PlateResult(
            members.text("plate"),
            members.number("error"),
            members.number("standard_uncertainty")));
  }

  /** The file's text; the same calibration gives the same text. */
  static String text(Calibration calibration) {
    ObjectWriter written = new ObjectWriter(UnitSystem.METRIC);
    written
        .put("meniscus", FORMAT.toString())
        .put("direction", calibration.direction().word())
        .put("range", calibration.range())
        .put("at", calibration.at().toString())
        .put("epoch", calibration.epoch())
        .put("element", ElementForm.write(written.another(), calibration.element()))
        .list("errors", calibration.errors(), error -> write(written.another(), error))
        .put("evidence", write(written.another(), calibration.evidence()));
    return StrictJson.print(written.members());
  }

  private static ObjectWriter write(ObjectWriter written, CoefficientError error) {
    written
        .put("source", error.source())
        .text("shared_id", error.sharedId())
        .put("effects", error.effects());
    return Double.isFinite(error.degreesOfFreedom())
        ? written.put("degrees_of_freedom", error.degreesOfFreedom())
        : written;
  }

  private static ObjectWriter write(ObjectWriter written, Evidence evidence) {
    written
        .list(
            "points",
            evidence.points(),
            point ->
                written
                    .another()
                    .put("plate", point.plate())
                    .si("test_pressure", point.testPressurePa(), Dimension.PRESSURE)
                    .si("drop", point.dropPa(), Dimension.PRESSURE)
                    .put("ratio", point.ratio())
                    .put("standard_uncertainty", point.standardUncertainty())
                    .put("residual", point.residual()))
        .list(
            "plates",
            evidence.plates(),
            plate ->
                written
                    .another()
                    .put("plate", plate.plate())
                    .put("error", plate.error())
                    .put("standard_uncertainty", plate.standardUncertainty()))
        .put("chi_square", evidence.chiSquare())
        .put("degrees_of_freedom", evidence.degreesOfFreedom())
        .put("chance_of_worse", evidence.chanceOfWorse())
        .put("widened", evidence.widened())
        .put("leave_one_out_error", evidence.leaveOneOutError());
    evidence.disagreeing().ifPresent(plate -> written.put("disagreeing", plate));
    return written
        .list("explanations", evidence.explanations(), each -> write(written.another(), each))
        .list("blind_spots", evidence.blindSpots(), each -> write(written.another(), each))
        .put("remarks", evidence.remarks());
  }

  private static ObjectWriter write(ObjectWriter written, Explanation explanation) {
    return written
        .put("kind", explanation.kind().word())
        .text("plate", explanation.plate())
        .put("size", explanation.size())
        .put("standard_uncertainty", explanation.standardUncertainty())
        .put("probability", explanation.probability());
  }

  private static ObjectWriter write(ObjectWriter written, BlindSpot spot) {
    written
        .put("kind", spot.kind().word())
        .put("size", spot.size())
        .put("taken_for", spot.takenFor().word());
    spot.boreM().ifPresent(bore -> written.put("bore_m", bore));
    return written;
  }
}
