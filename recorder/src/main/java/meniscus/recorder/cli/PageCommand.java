package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.BindException;
import java.net.Inet4Address;
import java.net.InetAddress;
import java.net.NetworkInterface;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.PluginsOption;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.page.PageServer;
import meniscus.recorder.plugin.PluginFolder;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code page}: serves the bench page to a browser on this computer. */
@Command(
    name = "page",
    mixinStandardHelpOptions = true,
    description = {
      "Serves the bench page to a browser on this computer, until Ctrl-C. Nobody else can reach it,",
      "unless it is shared: then whoever in the shop's network types the code that is printed can",
      "watch, and be given charge at the bench. The network is trusted to carry it: nothing is",
      "encrypted. Prints the address once it can be opened."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus page --data tests --bench bench.json",
      "  meniscus page --data demo --open",
      "  meniscus page --data tests --share",
      "  meniscus page --data tests --share 192.168.1.20"
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

  @Option(names = "--open", description = "open the page in this computer's browser")
  private boolean open;

  @Mixin private PluginsOption plugins;

  @Option(
      names = "--share",
      arity = "0..1",
      fallbackValue = "",
      paramLabel = "ADDRESS",
      description =
          "let the shop's network in, by code; at this address of this computer (default: all that"
              + " are its own in a local network)")
  private Optional<String> share = Optional.empty();

  PageCommand(Console console) {
    this.console = console;
    // JSON takes as long to load as the command line to read: on two cores both go on at once.
    Thread json = new Thread(ObjectMapper::new, "json");
    json.setDaemon(true);
    json.start();
  }

  @Override
  public Integer call() throws IOException {
    if (port < 0 || port > 65_535) {
      throw CommandFailed.usage("--at is a port from 0 to 65535, not " + port);
    }
    if (Files.exists(data) && !Files.isDirectory(data)) {
      throw CommandFailed.usage("--data " + data + " is not a folder");
    }
    PluginFolder at = plugins.ready(console);
    Path benchFile = bench.orElseGet(() -> data.resolve("bench.json"));
    try (Outlets outlets = Outlets.start(benchFile, at.outlets());
        PageServer page = started(benchFile, at.drivers(), outlets)) {
      CountDownLatch ended = new CountDownLatch(1);
      Thread hook = new Thread(() -> end(page, ended), "page end");
      Runtime.getRuntime().addShutdownHook(hook);
      console.say(page.address().toString());
      console.out().flush();
      if (!open || !UsualBrowser.open(page.address())) {
        console.warn("open this address in a browser");
      }
      console.warn("Ctrl-C ends the page");
      if (share.isPresent()) {
        share(page, share.get());
      }
      ended.await();
      return ExitCode.DONE;
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private PageServer started(Path benchFile, Drivers drivers, Outlets outlets) throws IOException {
    try {
      return PageServer.start(port, data, benchFile, drivers, outlets);
    } catch (BindException e) {
      throw CommandFailed.usage(
          "port " + port + " is taken: is another page open? Choose another with --at");
    }
  }

  private void share(PageServer page, String address) throws IOException {
    List<InetAddress> addresses =
        address.isEmpty() ? localAddresses() : List.of(InetAddress.getByName(address));
    if (addresses.isEmpty()) {
      throw CommandFailed.usage(
          "this computer has no address in a local network: name one with --share ADDRESS");
    }
    for (InetAddress each : addresses) {
      try {
        console.warn(
            "shared at " + page.share(each, code -> console.warn("code, good for one: " + code)));
      } catch (BindException e) {
        throw CommandFailed.usage("it cannot be shared at " + each.getHostAddress() + ": " + e);
      }
    }
  }

  /** IPv4 addresses that a home or shop network gives: RFC 1918. */
  private static List<InetAddress> localAddresses() throws IOException {
    return NetworkInterface.networkInterfaces()
        .flatMap(NetworkInterface::inetAddresses)
        .filter(each -> each instanceof Inet4Address && each.isSiteLocalAddress())
        .toList();
  }

  private static void end(PageServer page, CountDownLatch ended) {
    page.close();
    ended.countDown();
  }
}
