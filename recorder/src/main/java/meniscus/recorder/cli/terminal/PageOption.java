package meniscus.recorder.cli.terminal;

import java.io.IOException;
import java.net.BindException;
import java.nio.file.Path;
import java.util.Optional;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.page.PageServer;
import picocli.CommandLine.Option;

/** {@code --page}: the running test is shown on the bench page, and commanded from there. */
public final class PageOption {

  private static final int USUAL_PORT = 8765;

  @Option(
      names = "--page",
      description = "show the running test on the bench page; its address is printed")
  private boolean asked;

  public boolean asked() {
    return asked;
  }

  /**
   * Serves the page while the command runs; on the usual port if it is free.
   *
   * @return empty when it was not asked for
   */
  public Optional<PageServer> start(
      Console console, Path data, Path bench, Drivers drivers, Outlets outlets) throws IOException {
    if (!asked) {
      return Optional.empty();
    }
    PageServer page = served(data.toAbsolutePath(), bench, drivers, outlets);
    page.prepares("The instruments are looked for.");
    console.warn("bench page: " + page.address());
    return Optional.of(page);
  }

  private static PageServer served(Path data, Path bench, Drivers drivers, Outlets outlets)
      throws IOException {
    try {
      return PageServer.start(USUAL_PORT, data, bench, drivers, outlets);
    } catch (BindException taken) {
      return PageServer.start(0, data, bench, drivers, outlets);
    }
  }
}
