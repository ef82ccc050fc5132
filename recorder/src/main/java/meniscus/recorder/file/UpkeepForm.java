package meniscus.recorder.file;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.CalmRef;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Repeatability;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Zero;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.refusal.Refusal;

/** What the program has learned of a bench and writes into its file. */
final class UpkeepForm {

  private UpkeepForm() {}

  /**
   * @param dimensions of the bench's channels, by {@code instrument.channel}
   */
  static Upkeep read(ObjectReader members, Map<String, Dimension> dimensions) {
    Epoch epoch = members.optional("epoch").map(UpkeepForm::epoch).orElse(Epoch.FIRST);
    Map<String, Zero> zeros = zeros(members.within("zeros"), dimensions);
    List<Leakage> leakages = members.list("leakages", UpkeepForm::leakage);
    List<CalibrationRef> calibrations = members.list("calibrations", UpkeepForm::calibration);
    Optional<Repeatability> repeatability =
        members.optional("repeatability").map(UpkeepForm::repeatability);
    Optional<CalmRef> calm = members.optional("calm").map(UpkeepForm::calm);
    List<HealthEntry> health = members.list("health", HealthForm::read);
    members.done();
    return new Upkeep(epoch, zeros, leakages, calibrations, repeatability, calm, health);
  }

  static ObjectWriter write(
      ObjectWriter written, Upkeep upkeep, Map<String, Dimension> dimensions) {
    if (!upkeep.epoch().equals(Epoch.FIRST)) {
      written.put("epoch", write(written.another(), upkeep.epoch()));
    }
    ObjectWriter zeros = written.another();
    new TreeMap<>(upkeep.zeros())
        .forEach((key, zero) -> zeros.put(key, write(written.another(), zero, dimensions, key)));
    if (!upkeep.zeros().isEmpty()) {
      written.put("zeros", zeros);
    }
    written
        .list("leakages", upkeep.leakages(), leak -> write(written.another(), leak))
        .list("calibrations", upkeep.calibrations(), taken -> write(written.another(), taken));
    upkeep
        .repeatability()
        .ifPresent(learned -> written.put("repeatability", write(written.another(), learned)));
    upkeep
        .calm()
        .ifPresent(
            calm ->
                written.put(
                    "calm",
                    written
                        .another()
                        .put("folder", calm.folder())
                        .put("sha256", calm.sha256())
                        .put("at", calm.at().toString())));
    return written.list(
        "health", upkeep.health(), entry -> HealthForm.write(written.another(), entry));
  }

  private static Epoch epoch(ObjectReader members) {
    return members.done(
        new Epoch(
            members.whole("number", 1, 1, 100_000), members.date("since"), members.text("why")));
  }

  private static ObjectWriter write(ObjectWriter written, Epoch epoch) {
    return written
        .put("number", epoch.number())
        .put("since", epoch.since().toString())
        .put("why", epoch.why());
  }

  private static Map<String, Zero> zeros(ObjectReader members, Map<String, Dimension> dimensions) {
    Map<String, Zero> zeros = new TreeMap<>();
    for (String key : members.names()) {
      Dimension dimension = dimensions.get(key);
      if (dimension == null) {
        throw new Refusal(
            members.where()
                + ": no channel of this bench is \""
                + key
                + "\"; take this zero out, or name the channel as instrument.channel");
      }
      zeros.put(key, zero(members.entry(key), dimension));
    }
    return zeros;
  }

  private static Zero zero(ObjectReader members, Dimension dimension) {
    return members.done(
        new Zero(
            members.stepSi("offset", dimension, 0),
            members.stepSi("standard_uncertainty", dimension, 0),
            members.stepSi("noise", dimension, 0),
            members.instant("at")));
  }

  private static ObjectWriter write(
      ObjectWriter written, Zero zero, Map<String, Dimension> dimensions, String key) {
    Dimension dimension = dimensions.get(key);
    if (dimension == null) {
      throw new Refusal("a zero of " + key + ", which no use of the bench reads");
    }
    return written
        .step("offset", zero.offsetSi(), dimension)
        .step("standard_uncertainty", zero.standardUncertaintySi(), dimension)
        .step("noise", zero.noiseSi(), dimension)
        .put("at", zero.at().toString());
  }

  private static Leakage leakage(ObjectReader members) {
    Direction direction = direction(members);
    String setUp = members.text("set_up");
    double coefficient = members.si("coefficient", Dimension.VOLUME_FLOW);
    double exponent = members.number("exponent");
    double uncertainty = members.si("standard_uncertainty", Dimension.RATIO);
    double limit = members.si("limit", Dimension.VOLUME_FLOW);
    Instant at = members.instant("at");
    members.done();
    return members.made(
        () -> new Leakage(direction, setUp, coefficient, exponent, uncertainty, limit, at));
  }

  private static ObjectWriter write(ObjectWriter written, Leakage leak) {
    return written
        .put("direction", leak.direction().word())
        .put("set_up", leak.setUp())
        .si("coefficient", leak.coefficient(), Dimension.VOLUME_FLOW)
        .put("exponent", leak.exponent())
        .si("standard_uncertainty", leak.standardUncertainty(), Dimension.RATIO)
        .si("limit", leak.limitM3PerS(), Dimension.VOLUME_FLOW)
        .put("at", leak.at().toString());
  }

  private static CalibrationRef calibration(ObjectReader members) {
    Direction direction = direction(members);
    String range = members.text("range");
    String sha256 = members.text("sha256");
    Instant at = members.instant("at");
    boolean inUse = members.yes("in_use", true);
    String why = members.optionalText("why").orElse("");
    members.done();
    return members.made(
        () ->
            new CalibrationRef(
                direction, range, sha256, at, new CalibrationRef.Standing(inUse, why)));
  }

  private static ObjectWriter write(ObjectWriter written, CalibrationRef taken) {
    return written
        .put("direction", taken.direction().word())
        .put("range", taken.range())
        .put("sha256", taken.sha256())
        .put("at", taken.at().toString())
        .unless(true, "in_use", taken.standing().inUse())
        .text("why", taken.standing().why());
  }

  private static Repeatability repeatability(ObjectReader members) {
    List<Repeatability.Node> nodes = members.list("nodes", UpkeepForm::repeatabilityNode);
    double correlation = members.number("correlation");
    double degreesOfFreedom = members.number("degrees_of_freedom");
    List<Repeatability.Series> from = members.list("from", UpkeepForm::series);
    members.done();
    return members.made(() -> new Repeatability(nodes, correlation, degreesOfFreedom, from));
  }

  private static Repeatability.Series series(ObjectReader members) {
    String head = members.text("head");
    List<String> tests = members.texts("tests");
    Instant at = members.instant("at");
    int epoch = members.whole("epoch", 1, 1, 100_000);
    List<Repeatability.Node> nodes = members.list("nodes", UpkeepForm::repeatabilityNode);
    double correlation = members.number("correlation");
    double degreesOfFreedom = members.number("degrees_of_freedom");
    members.done();
    return members.made(
        () ->
            new Repeatability.Series(head, tests, at, epoch, nodes, correlation, degreesOfFreedom));
  }

  private static ObjectWriter nodes(ObjectWriter written, List<Repeatability.Node> nodes) {
    return written.list(
        "nodes",
        nodes,
        node ->
            written
                .another()
                .si("lift", node.liftM(), Dimension.LENGTH)
                .si("standard_deviation", node.relativeStandardDeviation(), Dimension.RATIO));
  }

  private static ObjectWriter write(ObjectWriter written, Repeatability.Series series) {
    written
        .put("head", series.head())
        .put("tests", series.tests())
        .put("at", series.at().toString())
        .put("epoch", series.epoch());
    return nodes(written, series.nodes())
        .put("correlation", series.correlation())
        .put("degrees_of_freedom", series.degreesOfFreedom());
  }

  private static Repeatability.Node repeatabilityNode(ObjectReader members) {
    return members.done(
        new Repeatability.Node(
            members.si("lift", Dimension.LENGTH),
            members.si("standard_deviation", Dimension.RATIO)));
  }

  private static ObjectWriter write(ObjectWriter written, Repeatability learned) {
    return nodes(written, learned.nodes())
        .put("correlation", learned.correlation())
        .put("degrees_of_freedom", learned.degreesOfFreedom())
        .list("from", learned.from(), series -> write(written.another(), series));
  }

  private static CalmRef calm(ObjectReader members) {
    String folder = members.text("folder");
    if (!BesideBench.staysWithin(folder)) {
      throw new Refusal(
          members.where()
              + ", \"folder\": \""
              + folder
              + "\" does not lie beside the bench file; copy the calm record there");
    }
    String sha256 = members.text("sha256");
    Instant at = members.instant("at");
    members.done();
    return members.made(() -> new CalmRef(folder, sha256, at));
  }

  private static Direction direction(ObjectReader members) {
    return members.choice("direction", Direction.class);
  }
}
