package meniscus.recorder.collection;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.HealthEntry;
import meniscus.core.flow.Direction;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Unit;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.SharedId;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.archive.NotesOfTest;
import meniscus.recorder.archive.TestSummary;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.folder.Stated;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.report.TestRead;

/**
 * One test as the rows of a collection.
 *
 * @param folder of it, every file whole
 * @param stated which test it is
 * @param bench as it was on the day
 * @param curve of it
 * @param keptAt when each rung was kept
 */
record CollectedTest(
    TestFolder folder, Stated stated, Bench bench, TestCurve curve, Map<Integer, Instant> keptAt) {

  /** R and JavaScript hold whole numbers exactly up to 52 bits (IEEE 754 binary64). */
  private static final int WHOLE_IN_A_DOUBLE = 12;

  /** Takes a row. */
  interface Rows {
    void add(List<Object> cells) throws IOException;
  }

  /**
   * @throws BadTestFolder when it is damaged
   * @throws FileNotAccepted when a file of it is not ours
   */
  static CollectedTest open(Path path) throws IOException {
    TestFolder folder = TestFolder.open(path);
    Stated stated = folder.stated();
    Bench bench =
        BenchFile.parse(
            folder.folder().resolve(Header.BENCH).toString(), folder.text(Header.BENCH));
    NotesOfTest notes = NotesOfTest.of(folder);
    Plan plan = notes.plan();
    List<LiftPoint> points = notes.points();
    Optional<CalibrationRef> calibration = TestRead.calibration(bench, plan, points);
    TestCurve curve =
        new TestCurve(
            folder.folder().toAbsolutePath().normalize().getFileName().toString(),
            bench.stretch(stated.id().toString(), calibration),
            calibration.map(CalibrationRef::sha256).orElse(""),
            Optional.empty(),
            plan,
            Optional.empty(),
            List.of(),
            points);
    return new CollectedTest(folder, stated, bench, curve, folder.keptAt());
  }

  private String id() {
    return stated.id().toString();
  }

  private String benchId() {
    return bench.identity().id().map(UUID::toString).orElse(null);
  }

  private int epoch() {
    return bench.upkeep().epoch().number();
  }

  private int year() {
    return year(folder.created());
  }

  private static int year(Instant at) {
    return at.atOffset(ZoneOffset.UTC).getYear();
  }

  /** The row of the test itself. */
  List<Object> test() {
    Plan plan = curve.plan();
    Plan.Part part = plan.part();
    Plan.Reference reference = plan.reference();
    List<LiftPoint> flows = curve.curve();
    return Arrays.asList(
        id(),
        stated.drawn(),
        stated.content(),
        stated.notes(),
        curve.name(),
        folder.created(),
        benchId(),
        bench.name(),
        epoch(),
        curve.bench(),
        known(curve.calibration()),
        part.head(),
        part.chamber(),
        part.port(),
        plan.port().word(),
        part.valveJob(),
        part.state(),
        part.customerReference(),
        String.join("; ", TestSummary.changes(plan)),
        samePort(flows),
        plan.direction().word(),
        plan.testPressurePa(),
        reference.temperatureK(),
        reference.pressurePa(),
        reference.relativeHumidity(),
        reference.testPressurePa(),
        curve.points().size(),
        flows.size(),
        flows.isEmpty()
            ? null
            : (Object) flows.stream().mapToDouble(LiftPoint::flowM3PerS).average().orElseThrow(),
        curve.points().stream().anyMatch(LiftPoint::readByEye),
        known(String.join("; ", folder.damage())),
        folder.program(),
        folder.format(),
        year());
  }

  /**
   * The same number for tests of one port on one bench that should give the same mean flow as long
   * as nothing was changed: the same lifts at the same test pressure, in the same reference air.
   */
  private long samePort(List<LiftPoint> flows) {
    Plan plan = curve.plan();
    Plan.Part part = plan.part();
    byte[] hash =
        new Sha256()
            .add(
                String.join(
                        "\n",
                        curve.bench(),
                        part.head(),
                        part.chamber(),
                        part.port(),
                        plan.port().word(),
                        plan.direction().word(),
                        Double.toString(plan.testPressurePa()),
                        plan.reference().toString(),
                        flows.stream()
                            .map(point -> Long.toString(Lifts.step(point.liftM())))
                            .collect(Collectors.joining(" ")))
                    .getBytes(StandardCharsets.UTF_8))
            .bytes();
    return ByteBuffer.wrap(hash).getLong() >>> WHOLE_IN_A_DOUBLE;
  }

  /** A row a kept rung. */
  void points(Rows rows) throws IOException {
    Set<Integer> onCurve = curve.curve().stream().map(LiftPoint::rung).collect(Collectors.toSet());
    for (LiftPoint p : curve.points()) {
      rows.add(
          Arrays.asList(
              id(),
              benchId(),
              epoch(),
              curve.plan().port().word(),
              p.rung(),
              p.attempt(),
              p.taken().segment(),
              keptAt.get(p.rung()),
              p.liftM(),
              p.sweep().word(),
              p.range(),
              p.flowM3PerS(),
              number(p.flowU95()),
              number(p.flowRepeatU95()),
              p.testPressurePa(),
              p.pressureAsAsked(),
              p.effectiveAreaM2(),
              number(p.flow().cdCurtain()),
              p.verdict().word(),
              number(p.unsteadiness()),
              p.average().seconds(),
              p.average().effectiveSamples(),
              number(p.setting().liftReadM()),
              number(p.setting().liftU95()),
              Calibration.usedIn(p.budget()).orElse(null),
              p.readByEye(),
              onCurve.contains(p.rung()),
              TestCurve.trusted(p),
              known(p.setAsideBecause()),
              String.join("; ", p.remarkSentences()),
              year()));
    }
  }

  /** A row a source; an error has one id in all tests that share it, and in no other. */
  void budget(Rows rows) throws IOException {
    for (LiftPoint point : curve.points()) {
      for (Contribution own : TestCurve.budget(point).contributions()) {
        Contribution c = SharedId.among(own, curve.bench(), id());
        rows.add(
            Arrays.asList(
                id(),
                point.rung(),
                c.source(),
                c.kind().word(),
                c.standardUncertainty(),
                c.degreesOfFreedom(),
                c.sensitivity(),
                c.effect(),
                known(c.sharedId()),
                year()));
      }
    }
  }

  /** A row a check that the bench had on the day. */
  void checks(Rows rows) throws IOException {
    String whose = bench.identity().id().map(UUID::toString).orElse(curve.bench());
    for (HealthEntry entry : bench.upkeep().health()) {
      rows.add(
          Arrays.asList(
              Sha256.hex((whose + "\n" + entry).getBytes(StandardCharsets.UTF_8)),
              benchId(),
              bench.name(),
              entry.epoch(),
              entry.at(),
              entry.kind().word(),
              entry.subject(),
              entry.direction().map(Direction::word).orElse(null),
              entry.range().orElse(null),
              entry.value(),
              entry.expected(),
              entry.standardUncertainty(),
              number(entry.limit()),
              entry.withinLimit(),
              entry.remark(),
              year(entry.at())));
    }
  }

  /** A row a value that was read, as it came; NaN where the instrument said that there is none. */
  void samples(Rows rows) throws IOException {
    List<Header.Columns> instruments = folder.instruments();
    folder.replay(
        new JournalVisitor() {
          private long frame;

          @Override
          public void row(long momentNanos, int instrument, long present, double[] values)
              throws IOException {
            Header.Columns from = instruments.get(instrument);
            for (int c = 0; c < from.channels().size(); c++) {
              if ((present >> c & 1) != 0) {
                Channel channel = from.channels().get(c);
                rows.add(
                    List.of(
                        id(),
                        frame,
                        momentNanos,
                        from.instrument(),
                        channel.name(),
                        Unit.si(channel.unit().dimension()).code(),
                        values[c],
                        year()));
              }
            }
            frame++;
          }
        });
  }

  private static Object number(OptionalDouble value) {
    return value.isPresent() ? (Object) value.getAsDouble() : null;
  }

  private static String known(String text) {
    return text.isEmpty() ? null : text;
  }
}
