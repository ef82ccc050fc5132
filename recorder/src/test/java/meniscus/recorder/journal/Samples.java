package meniscus.recorder.journal;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.TreeMap;
import java.util.UUID;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;
import meniscus.core.quantity.Unit;
import meniscus.core.remark.Remark;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Contribution;

/** A made-up test: two instruments, points whose every value differs. */
public final class Samples {

  public static final List<Header.Columns> INSTRUMENTS =
      List.of(
          new Header.Columns(
              "manometer", List.of(new Channel("p1", Unit.PASCAL), new Channel("p2", Unit.PASCAL))),
          new Header.Columns("dial", List.of(new Channel("lift", Unit.MILLIMETRE))));

  private Samples() {}

  public static Header header() {
    TreeMap<String, byte[]> files = new TreeMap<>();
    files.put(Header.BENCH, utf8("{\"meniscus\":\"bench/1\"}"));
    files.put(Header.PLAN, utf8("{\"meniscus\":\"plan/1\"}"));
    files.put("calibrations/abc.json", utf8("{\"a\":1}"));
    files.put("calm/low.csv", utf8("time_s,value\n0,1\n0.1,2\n"));
    return new Header(
        "meniscus 0",
        Instant.parse("2031-05-06T07:08:09.123456789Z"),
        INSTRUMENTS,
        files,
        Optional.of(UUID.fromString("6f1c0d4e-3b5a-4c7d-8e9f-0a1b2c3d4e5f")));
  }

  public static byte[] utf8(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }

  public static LiftPoint point(int rung, int attempt, Random random) {
    double areaM2 = random.nextDouble() * 1e-3;
    return new LiftPoint(
        new LiftPoint.Taken(
            rung, attempt, 1, Moment.ofSeconds(10.0 * rung), rung * 1.27e-3, Sweep.OPENING, "high"),
        new LiftPoint.Flow(
            areaM2,
            random.nextDouble() * 0.1,
            OptionalDouble.of(random.nextDouble() * 1e-3),
            rung % 3 == 0 ? OptionalDouble.empty() : OptionalDouble.of(random.nextDouble() * 1e-4),
            OptionalDouble.of(0.6)),
        new LiftPoint.Setting(
            6974.5 + random.nextGaussian(),
            rung % 4 != 0,
            OptionalDouble.of(rung * 1.27e-3 + 1e-6 * random.nextGaussian()),
            OptionalDouble.of(2e-6)),
        new LiftPoint.Average(
            rung % 5 == 0 ? Verdict.SWITCHING : Verdict.STEADY,
            OptionalDouble.of(1 + random.nextDouble()),
            8.5,
            77.25 + random.nextDouble(),
            false),
        rung % 2 == 0
            ? List.of(Remark.said("two levels, \"3 %\" apart"), Remark.said("=1+1"))
            : List.of(),
        List.of(
            new Contribution(
                "fluctuation", Contribution.Kind.REPEAT, random.nextDouble(), 12.5, 1, ""),
            new Contribution(
                "orifice plate, certificate",
                Contribution.Kind.SYSTEMATIC,
                random.nextDouble(),
                Double.POSITIVE_INFINITY,
                -0.25,
                "plate-3")));
  }

  public static TestEvent kept(LiftPoint point, long rows) {
    return new TestEvent(point.keptAt(), rows, new TestEvent.Kept(point.rung(), point.attempt()));
  }

  public static TestEvent event(TestEvent.Kind kind, double seconds, long rows, String detail) {
    return new TestEvent(Moment.ofSeconds(seconds), rows, EventText.what(kind, detail));
  }

  /** Rows as text, one line each. */
  public static final class Rows implements JournalVisitor {
    public final StringBuilder text = new StringBuilder();
    public int count;

    @Override
    public void row(long momentNanos, int instrument, long present, double[] values) {
      count++;
      text.append(momentNanos).append(' ').append(instrument).append(' ').append(present);
      for (int c = 0; c < Long.SIZE; c++) {
        if ((present >> c & 1) != 0) {
          text.append(' ').append(values[c]);
        }
      }
      text.append('\n');
    }
  }
}
