package meniscus.recorder.report;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.air.Barometer;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.JournalVisitor;

/** Mean air of the room over a test, from its own samples. */
final class RoomAir {

  private RoomAir() {}

  /** Empty when the samples hold no such air. */
  static Optional<TestCurve.Room> of(TestFolder folder, Bench bench) throws IOException {
    List<Mean> means = new ArrayList<>();
    Mean temperature = mean(means, folder, bench, Use.ROOM_TEMPERATURE);
    Mean pressure = mean(means, folder, bench, Use.ROOM_PRESSURE);
    Mean humidity = mean(means, folder, bench, Use.ROOM_HUMIDITY);
    if (means.stream().anyMatch(mean -> mean.instrument >= 0)) {
      folder.replay(
          new JournalVisitor() {
            @Override
            public void row(long momentNanos, int instrument, long present, double[] values) {
              means.forEach(mean -> mean.row(instrument, present, values));
            }
          });
    }
    OptionalDouble t = temperature.value();
    OptionalDouble p = pressure.value();
    OptionalDouble h = humidity.value();
    if (t.isEmpty() || p.isEmpty() || h.isEmpty()) {
      return Optional.empty();
    }
    double station =
        bench.site().barometer() == Site.Barometer.SEA_LEVEL
            ? Barometer.stationPressure(p.getAsDouble(), bench.site().altitudeM().orElse(0))
            : p.getAsDouble();
    try {
      double share = Math.max(0, Math.min(1, h.getAsDouble()));
      AirState air = new AirState(t.getAsDouble(), station, share);
      return Optional.of(new TestCurve.Room(t.getAsDouble(), station, share, air.density()));
    } catch (Refusal noSuchAir) {
      return Optional.empty();
    }
  }

  private static Mean mean(List<Mean> all, TestFolder folder, Bench bench, Use use) {
    Mean mean =
        bench
            .source(use)
            .map(
                source ->
                    source.fold(
                        gauge -> Mean.of(gauge, bench, folder.instruments()),
                        typed -> new Mean(typed.valueSi())))
            .orElseGet(() -> new Mean(Double.NaN));
    all.add(mean);
    return mean;
  }

  /** Running mean of one channel, or a value that was typed in. */
  private static final class Mean {
    private final int instrument;
    private final int channel;
    private final double factor;
    private final double offset;
    private double sum;
    private long count;

    private Mean(int instrument, int channel, double factor, double offset) {
      this.instrument = instrument;
      this.channel = channel;
      this.factor = factor;
      this.offset = offset;
    }

    Mean(double typed) {
      this(-1, -1, 1, 0);
      if (Double.isFinite(typed)) {
        sum = typed;
        count = 1;
      }
    }

    static Mean of(Source.Measured gauge, Bench bench, List<Header.Columns> instruments) {
      for (int i = 0; i < instruments.size(); i++) {
        if (instruments.get(i).instrument().equals(gauge.instrument())) {
          for (int c = 0; c < instruments.get(i).channels().size(); c++) {
            if (instruments.get(i).channels().get(c).name().equals(gauge.channel())) {
              return new Mean(i, c, gauge.inverted() ? -1 : 1, bench.zero(gauge).offsetSi());
            }
          }
        }
      }
      return new Mean(Double.NaN);
    }

    void row(int instrument, long present, double[] values) {
      if (instrument == this.instrument
          && (present >> channel & 1) == 1
          && Double.isFinite(values[channel])) {
        sum += values[channel];
        count++;
      }
    }

    OptionalDouble value() {
      return count == 0
          ? OptionalDouble.empty()
          : OptionalDouble.of(factor * (sum / count - (instrument < 0 ? 0 : offset)));
    }
  }
}
