package meniscus.recorder.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Base64;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import meniscus.core.Needed;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** That the computer is asked; whether it heeds is its own, and was not tried on Windows. */
class AwakeTest {

  @Test
  void eachSystemIsAskedInItsOwnWay() {
    assertEquals("systemd-inhibit", Awake.command("Linux").get(0));
    assertEquals("caffeinate", Awake.command("Mac OS X").get(0));
    List<String> windows = Awake.command("Windows 11");
    assertEquals("powershell", windows.get(0));
    String script =
        new String(
            Base64.getDecoder().decode(windows.get(windows.size() - 1)), StandardCharsets.UTF_16LE);
    assertTrue(script.contains("SetThreadExecutionState(2147483649)"), script);
  }

  @Test
  void aSystemThatCannotBeAskedIsNoFault() {
    try (Awake awake = Awake.begin(List.of("no-such-program-anywhere"))) {
      assertEquals(Optional.empty(), awake.helper());
    }
  }

  @Test
  void theComputerMaySleepAgainWhenTheTestIsOver() throws Exception {
    cat();
    Awake awake = Awake.begin(List.of("cat"));
    ProcessHandle helper = awake.helper().orElseThrow();
    assertTrue(helper.isAlive());
    awake.close();
    helper.onExit().get(1, TimeUnit.MINUTES);
  }

  @Test
  @Tag("long")
  void andWhenTheProgramIsKilled() throws Exception {
    cat();
    Process program =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                System.getProperty("java.class.path"),
                Waits.class.getName())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    byte[] pid = program.getInputStream().readNBytes(12);
    ProcessHandle helper =
        ProcessHandle.of(Long.parseLong(new String(pid, StandardCharsets.US_ASCII).strip()))
            .orElseThrow();
    program.destroyForcibly().waitFor();
    helper.onExit().get(1, TimeUnit.MINUTES);
  }

  private static void cat() {
    Needed.that(Files.isExecutable(Path.of("/bin/cat")), "no /bin/cat");
  }

  /** A program in the midst of a test; says the number of its helper. */
  static final class Waits {

    private Waits() {}

    public static void main(String[] arguments) throws InterruptedException {
      Awake awake = Awake.begin(List.of("cat"));
      System.out.printf("%12d", awake.helper().orElseThrow().pid());
      System.out.flush();
      Thread.currentThread().join();
    }
  }
}
