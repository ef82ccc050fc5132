package meniscus.recorder.look;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;

/** A program's standard output as a line, once somebody has agreed to it. */
@EnabledOnOs(value = OS.LINUX, disabledReason = "the programs here are a shell's")
@Tag("long")
class CommandLineTest {

  @TempDir private Path folder;

  private record Said(int code, String out, String err) {}

  /** Listens for as long as it takes until a program has been started and has written. */
  private Said listen(Path sheet, String... more) {
    Said said = listen(3, sheet, more);
    for (int seconds = 12;
        seconds < 100 && said.code() == 3 && said.err().isBlank();
        seconds *= 2) {
      said = listen(seconds, sheet, more);
    }
    return said;
  }

  private Said listen(int seconds, Path sheet, String... more) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    List<String> words =
        new ArrayList<>(
            List.of(
                "listen",
                "--sheet",
                sheet.toString(),
                "--trusted-jars",
                folder.resolve("trusted").toString(),
                "--seconds",
                Integer.toString(seconds)));
    words.addAll(List.of(more));
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            new ByteArrayInputStream(new byte[0]),
            words.toArray(String[]::new));
    return new Said(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  private Path sheet(String command) throws IOException {
    return Files.writeString(
        folder.resolve("bridge.json"),
        "{\"meniscus\": \"sheet/1\", \"name\": \"Bridge\", \"driver\": \"text-stream\", \"separator\":"
            + " \",\", \"fields\": 2, \"ignore\": [\"A\"], \"line\": {\"kind\": \"command\","
            + " \"command\": "
            + command
            + "}, \"channels\": [{\"name\": \"test_pressure\", \"unit\": \"Pa\", \"field\": 1},"
            + " {\"name\": \"element_drop\", \"unit\": \"Pa\", \"field\": 2}]}");
  }

  private static String hash(String message) {
    Matcher found = Pattern.compile("--trust ([0-9a-f]{64})").matcher(message);
    assertTrue(found.find(), message);
    return found.group(1);
  }

  @Test
  void runsOnlyWhatSomebodyHasAgreedToAndAsksAnewWhenItHasChanged() throws Exception {
    Path script =
        Files.writeString(
            folder.resolve("bridge.sh"),
            "while :; do echo 6972.5,3061; echo 6973.5,3062; sleep 0.1; done\n");
    Path sheet = sheet("[\"sh\", \"" + script + "\"]");
    Said refused = listen(sheet);
    assertNotEquals(0, refused.code());
    assertTrue(refused.err().contains("is not run"), refused.err());
    Said agreed = listen(sheet, "--trust", hash(refused.err()));
    assertEquals(0, agreed.code(), agreed.err());
    assertTrue(agreed.out().contains("test_pressure 6972.5 Pa, element_drop 3061 Pa"));
    assertEquals(0, listen(sheet).code(), "it is remembered");
    Files.writeString(script, "echo 1,2; rm -rf /nowhere\n");
    assertTrue(listen(sheet).err().contains("is not run"), "the script has changed");
  }

  @Test
  void aProgramThatEndsSaysHowAndIsStartedAnew() throws Exception {
    Path script =
        Files.writeString(
            folder.resolve("short.sh"), "echo 1,2; echo 3,4; echo no device >&2; exit 7\n");
    Path sheet = sheet("[\"sh\", \"" + script + "\"]");
    Said said = listen(sheet, "--trust", hash(listen(sheet).err()));
    assertTrue(said.out().contains("has ended (exit code 7): no device"), said.out());
    assertTrue(
        said.out().lines().filter(line -> line.contains("test_pressure 3 Pa")).count() > 1,
        said.out());
  }

  @Test
  void aProgramThatIsNotThereIsNamed() throws Exception {
    Said said = listen(sheet("[\"no-such-program-here\"]"));
    assertTrue(said.err().contains("there is no program \"no-such-program-here\""), said.err());
  }

  /** The demo device of sigrok: a saw and a sine, 50 rows a second, mixed with remarks. */
  @Test
  void sigroksDemoDeviceIsRead() throws Exception {
    boolean there =
        Stream.of(System.getenv("PATH").split(":"))
            .anyMatch(path -> Files.isExecutable(Path.of(path, "sigrok-cli")));
    if (!there) {
      assertNotEquals("true", System.getenv("CI"), "sigrok-cli is not installed");
    }
    assumeTrue(there, "sigrok-cli is not installed");
    Path sheet = Path.of("..", "docs", "sheets", "sigrok-two-channels.json").toAbsolutePath();
    Said said = listen(sheet, "--trust", hash(listen(sheet).err()), "--json");
    assertEquals(0, said.code(), said.err());
    long frames = said.out().lines().filter(line -> line.contains("\"frame\"")).count();
    assertTrue(frames > 1, frames + " frames: as many as this machine has time for");
    assertTrue(said.out().contains("\"rejected\":0"), said.out());
  }
}
