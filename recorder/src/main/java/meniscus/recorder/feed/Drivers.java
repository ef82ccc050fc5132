package meniscus.recorder.feed;

import java.util.List;
import java.util.ServiceLoader;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.Lines;

/**
 * The drivers that can be used, and the kinds of line that they can talk through.
 *
 * @param all of them, each id once
 * @param lineKinds each id once
 */
public record Drivers(List<InstrumentDriver> all, List<LineKind> lineKinds) {

  public Drivers {
    all = List.copyOf(all);
    lineKinds = List.copyOf(lineKinds);
  }

  /** Those that come with the program. */
  public static Drivers shipped() {
    return new Drivers(
        ServiceLoader.load(InstrumentDriver.class).stream()
            .map(ServiceLoader.Provider::get)
            .toList(),
        Lines.kinds());
  }

  /** These and some more. */
  public Drivers and(List<InstrumentDriver> moreDrivers, List<LineKind> moreLineKinds) {
    return new Drivers(
        Stream.concat(all.stream(), moreDrivers.stream()).toList(),
        Stream.concat(lineKinds.stream(), moreLineKinds.stream()).toList());
  }

  /**
   * @throws Refusal naming the known drivers when there is none of that id
   */
  public InstrumentDriver named(String id) {
    return all.stream()
        .filter(driver -> driver.id().equals(id))
        .findFirst()
        .orElseThrow(
            () ->
                new Refusal(
                    "no driver \""
                        + id
                        + "\"; there are: "
                        + all.stream()
                            .map(InstrumentDriver::id)
                            .sorted()
                            .collect(Collectors.joining(", "))));
  }
}
