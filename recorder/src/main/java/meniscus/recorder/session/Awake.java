package meniscus.recorder.session;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.Base64;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Asks the computer not to fall asleep while a test runs: a laptop beside a bench is not touched
 * for an hour. Done with what each system brings along, in a process that waits for the end of its
 * input, so that it ends with this program however that ends. Where there is no such thing, or it
 * does not work, the test goes on without, and a sleep is told as it always was.
 *
 * <p>Those of macOS and Windows are written from memory and not tested there.
 */
final class Awake implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(Awake.class);

  /**
   * ES_CONTINUOUS and ES_SYSTEM_REQUIRED: holds for as long as the thread lives that asked for it.
   */
  private static final String ON_WINDOWS =
      "$k = Add-Type -PassThru -Name K -Namespace Meniscus -MemberDefinition"
          + " '[DllImport(\"kernel32.dll\")]"
          + " public static extern uint SetThreadExecutionState(uint flags);';"
          + " [void]$k::SetThreadExecutionState(2147483649);"
          + " [void][Console]::In.ReadToEnd()";

  private final Optional<Process> helper;

  private Awake(Optional<Process> helper) {
    this.helper = helper;
  }

  /**
   * Begins.
   *
   * @param wanted when false, nothing is asked for
   */
  static Awake begin(boolean wanted) {
    return wanted ? begin(command(System.getProperty("os.name", ""))) : new Awake(Optional.empty());
  }

  static Awake begin(List<String> command) {
    try {
      Process process =
          new ProcessBuilder(command)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .redirectError(ProcessBuilder.Redirect.DISCARD)
              .start();
      LOG.debug("the computer is asked to stay awake, by {}", command.get(0));
      return new Awake(Optional.of(process));
    } catch (IOException notHere) {
      LOG.debug("the computer cannot be asked to stay awake", notHere);
      return new Awake(Optional.empty());
    }
  }

  /**
   * @param system as Java names it
   */
  static List<String> command(String system) {
    String name = system.toLowerCase(Locale.ROOT);
    if (name.startsWith("windows")) {
      return List.of(
          "powershell",
          "-NoProfile",
          "-NonInteractive",
          "-EncodedCommand",
          Base64.getEncoder().encodeToString(ON_WINDOWS.getBytes(StandardCharsets.UTF_16LE)));
    }
    if (name.startsWith("mac")) {
      return List.of("caffeinate", "-i", "cat");
    }
    return List.of(
        "systemd-inhibit", "--what=sleep:idle", "--who=Meniscus", "--why=a lift test runs", "cat");
  }

  Optional<ProcessHandle> helper() {
    return helper.map(Process::toHandle);
  }

  /** From now on the computer may sleep. */
  @Override
  public void close() {
    helper.ifPresent(
        process -> {
          try {
            process.getOutputStream().close();
          } catch (IOException endedAlready) {
            LOG.debug("what kept the computer awake had ended", endedAlready);
          }
        });
  }
}
