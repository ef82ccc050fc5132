package meniscus.recorder.page;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Range;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.feed.GaugeReader;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.upkeep.BenchAt;
import meniscus.recorder.upkeep.BenchStation;
import meniscus.recorder.upkeep.LeakTest;

/**
 * One piece of upkeep as the page asked for it: what was said, and what all of it has in common.
 */
class UpkeepAsked {
  final BenchOfPage place;
  final Path file;
  final Bench bench;
  final JsonIn in;
  final Unit pressure;
  final Unit flow;
  private final Drivers drivers;
  private final Feeds.Simulation simulation;

  UpkeepAsked(BenchOfPage place, Drivers drivers, JsonIn in) throws HttpError {
    this.place = place;
    this.file = place.file();
    this.bench = place.bench();
    this.drivers = drivers;
    this.in = in;
    this.simulation =
        new Feeds.Simulation(
            in.flag("quick"), in.optionalWhole("seed").orElse(1), new Mounted.Blank());
    this.pressure = bench.units().unit(Dimension.PRESSURE);
    this.flow = bench.units().unit(Dimension.VOLUME_FLOW);
  }

  /** What was stopped meanwhile is not written. */
  final void write(Bench learned) throws IOException, InterruptedException {
    refuseStopped();
    BenchFile.write(file, learned);
  }

  final BenchAt at() {
    return new BenchAt(bench, file, drivers, simulation, BenchAt.Pace.CAREFUL);
  }

  final BenchStation stand(Range range, Direction way, GaugeReader reader)
      throws InterruptedException {
    return BenchStation.open(at(), range, way, reader);
  }

  final Optional<Leakage> leak(Direction way) {
    return bench.upkeep().leakage(way, LeakTest.BLANKED).or(() -> bench.upkeep().leakage(way));
  }

  final Direction direction() throws HttpError {
    String word = in.text("direction");
    return Stream.of(Direction.values())
        .filter(each -> each.word().equals(word))
        .findFirst()
        .orElseThrow(() -> HttpError.wrong("\"direction\" is suction or blowing"));
  }

  final Range range() throws HttpError {
    Optional<String> name = in.optionalText("range");
    try {
      return name.map(bench::range).orElse(bench.ranges().get(0));
    } catch (Refusal e) {
      throw HttpError.wrong(e.getMessage());
    }
  }

  final List<Double> pressures(String usual) throws HttpError {
    List<Double> pressures = new ArrayList<>();
    for (String each : in.optionalText("at").orElse(usual).split(",")) {
      pressures.add(quantity("at", each, Dimension.PRESSURE));
    }
    if (pressures.stream().anyMatch(each -> !(each > 0))) {
      throw HttpError.wrong("\"at\": test pressures are above zero, in either direction");
    }
    return pressures.stream().sorted().toList();
  }

  final double si(String name, String usual, Dimension dimension) throws HttpError {
    return quantity(name, in.optionalText(name).orElse(usual), dimension);
  }

  static void refuseStopped() throws InterruptedException {
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
  }

  private static double quantity(String name, String text, Dimension dimension) throws HttpError {
    try {
      return Value.si(text, dimension);
    } catch (Refusal e) {
      throw HttpError.wrong("\"" + name + "\": " + e.getMessage());
    }
  }

  /** A value with digits enough for a gauge. */
  static String text(double si, Unit unit) {
    double number = unit.fromSi(si);
    int places =
        Math.max(0, Math.min(4, 2 - (int) Math.floor(Math.log10(Math.abs(number) + 1e-9))));
    return String.format(Locale.ROOT, "%." + places + "f %s", number, unit.symbol());
  }

  static String percent(double share) {
    return String.format(Locale.ROOT, "%.0f %%", 100 * share);
  }
}
