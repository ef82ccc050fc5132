package meniscus.recorder.cli;

import java.io.IOException;
import java.net.BindException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import meniscus.recorder.page.PageServer;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code page}: serves the bench page to a browser on this computer. */
@Command(
    name = "page",
    mixinStandardHelpOptions = true,
    description = {
      "Serves the bench page to a browser on this computer, until Ctrl-C. Nobody else can reach it.",
      "Prints the address once it can be opened."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus page --data tests --bench bench.json",
      "  meniscus page --data demo"
    })
final class PageCommand implements Callable<Integer> {

  private final Console console;

  @Option(
      names = "--at",
      paramLabel = "PORT",
      defaultValue = "8765",
      description = "port; 0 takes any free one (default ${DEFAULT-VALUE})")
  private int port;

  @Option(
      names = "--data",
      paramLabel = "DIR",
      defaultValue = ".",
      description = "folder of tests and plans (default: this folder)")
  private Path data;

  @Option(
      names = "--bench",
      paramLabel = "FILE",
      description = "the bench file (default: bench.json in the data folder)")
  private Optional<Path> bench = Optional.empty();

  @Mixin private PluginsOption plugins;

  PageCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    if (port < 0 || port > 65_535) {
      throw CommandFailed.usage("--at is a port from 0 to 65535, not " + port);
    }
    if (Files.exists(data) && !Files.isDirectory(data)) {
      throw CommandFailed.usage("--data " + data + " is not a folder");
    }
    try (PageServer page = started()) {
      CountDownLatch ended = new CountDownLatch(1);
      Thread hook = new Thread(() -> end(page, ended), "page end");
      Runtime.getRuntime().addShutdownHook(hook);
      console.say(page.address().toString());
      console.out().flush();
      console.warn("open this address in a browser; Ctrl-C ends the page");
      ended.await();
      return ExitCode.DONE;
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private PageServer started() throws IOException {
    try {
      return PageServer.start(
          port, data, bench.orElseGet(() -> data.resolve("bench.json")), plugins.drivers(console));
    } catch (BindException e) {
      throw CommandFailed.usage(
          "port " + port + " is taken: is another page open? Choose another with --at");
    }
  }

  private static void end(PageServer page, CountDownLatch ended) {
    page.close();
    ended.countDown();
  }
}
