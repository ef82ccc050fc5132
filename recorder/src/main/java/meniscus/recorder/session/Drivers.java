package meniscus.recorder.session;

import java.util.List;
import java.util.ServiceLoader;
import java.util.stream.Collectors;
import meniscus.core.instrument.InstrumentDriver;

/**
 * The drivers that can be used.
 *
 * @param all of them, each id once
 */
public record Drivers(List<InstrumentDriver> all) {

  public Drivers {
    all = List.copyOf(all);
  }

  /** Those that come with the program. */
  public static Drivers shipped() {
    return new Drivers(
        ServiceLoader.load(InstrumentDriver.class).stream()
            .map(ServiceLoader.Provider::get)
            .toList());
  }

  /**
   * @throws IllegalArgumentException naming the known drivers when there is none of that id
   */
  public InstrumentDriver named(String id) {
    return all.stream()
        .filter(driver -> driver.id().equals(id))
        .findFirst()
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    "no driver \""
                        + id
                        + "\"; there are: "
                        + all.stream()
                            .map(InstrumentDriver::id)
                            .sorted()
                            .collect(Collectors.joining(", "))));
  }
}
