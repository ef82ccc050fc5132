package meniscus.recorder.plugin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.Stream;
import meniscus.core.Needed;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** No jar runs before somebody has agreed to it, as it is. */
@Tag("long")
class TrustedJarsTest {

  @TempDir private Path temp;
  private Path folder;
  private Path jar;
  private Path memory;
  private final List<String> questions = new ArrayList<>();
  private final List<String> told = new ArrayList<>();

  @BeforeEach
  void aJarThatTellsWhenItRuns() throws IOException {
    folder = Files.createDirectory(temp.resolve("plugins"));
    jar = folder.resolve("gauge.jar");
    memory = temp.resolve("home/config/trusted-jars");
    put("one");
  }

  /** Its constructor leaves a file behind. */
  private void put(String text) throws IOException {
    new JarMaker(temp)
        .driver(
            "Good",
            "stranger-gauge",
            "/*constructor*/",
            "try { java.nio.file.Files.writeString(java.nio.file.Path.of(\""
                + trace()
                + "\"), \"ran\"); } catch (java.io.IOException e) { }")
        .file("read.me", text)
        .into(jar);
  }

  private Path trace() {
    return temp.resolve("ran");
  }

  private String state(List<String> given, Optional<Boolean> answer) throws IOException {
    Optional<Predicate<String>> person =
        answer.map(
            agrees ->
                question -> {
                  questions.add(question);
                  return agrees;
                });
    return PluginFolder.read(folder, new TrustedJars(memory, given, person, told::add))
        .found()
        .get(0)
        .refused()
        .orElse("ready");
  }

  @Test
  void aJarIsAskedForOnceAndAgainWhenItHasChanged() throws Exception {
    assertEquals("ready", state(List.of(), Optional.of(true)));
    String hash = TrustedJars.sha256(jar).orElseThrow();
    assertEquals(1, questions.size());
    assertTrue(questions.get(0).contains("gauge.jar") && questions.get(0).contains(hash));
    assertFalse(questions.get(0).contains("changed"), questions.get(0));
    assertEquals(hash + "  gauge.jar\n", Files.readString(memory));

    assertEquals("ready", state(List.of(), Optional.empty()), "it is remembered");
    put("another");
    assertTrue(state(List.of(), Optional.of(false)).startsWith("nobody has agreed to run it"));
    assertTrue(questions.get(1).contains("it has changed"), questions.get(1));
    assertEquals(2, questions.size());
  }

  @Test
  void nothingOfAJarRunsBeforeSomebodyHasAgreed() throws Exception {
    for (Optional<Boolean> nobody : List.of(Optional.of(false), Optional.<Boolean>empty())) {
      String refused = state(List.of(), nobody);
      assertTrue(
          refused.endsWith("then give --trust " + TrustedJars.sha256(jar).orElseThrow()), refused);
      assertFalse(Files.exists(trace()), "it has run");
      assertFalse(Files.exists(memory), "a no is not remembered as a yes");
    }
    assertEquals("ready", state(List.of(), Optional.of(true)));
    assertTrue(Files.exists(trace()));
  }

  @Test
  void aHashThatIsGivenIsAgreementToThatJarAlone() throws Exception {
    String hash = TrustedJars.sha256(jar).orElseThrow();
    String other = "0".repeat(64);
    assertTrue(state(List.of(other), Optional.empty()).startsWith("nobody has agreed"));
    assertEquals(
        "ready", state(List.of(hash.toUpperCase(java.util.Locale.ROOT)), Optional.empty()));
    assertEquals("ready", state(List.of(), Optional.empty()), "it is remembered");
    assertThrows(IllegalArgumentException.class, () -> state(List.of("abc"), Optional.empty()));
    TrustedJars trusted =
        new TrustedJars(memory, List.of(hash, other), Optional.empty(), told::add);
    PluginFolder.read(folder, trusted);
    assertEquals(java.util.Set.of(other), trusted.unused());
  }

  @Test
  void aMemoryThatCannotBeWrittenIsToldAndTheJarRunsThisTime() throws Exception {
    Files.writeString(temp.resolve("home"), "a file where a folder should be");
    assertEquals("ready", state(List.of(), Optional.of(true)));
    assertEquals(1, told.size());
    assertTrue(told.get(0).contains("asked for again next time"), told.get(0));
  }

  @Test
  void withoutATerminalACommandRefusesAndNamesTheOption() throws Exception {
    String hash = TrustedJars.sha256(jar).orElseThrow();
    String first = look();
    assertTrue(
        first.contains("gauge.jar    refused: nobody has agreed to run it")
            && first.contains("--trust " + hash),
        first);
    assertFalse(Files.exists(trace()));
    String warned = run("listen", "--sheet", "no-such-sheet", "--on", "play:none");
    assertTrue(warned.contains("plugin gauge.jar is not used: nobody has agreed"), warned);
    assertTrue(look("--trust", hash).contains("gauge.jar  stranger-gauge  ready"));
    assertTrue(look().contains("gauge.jar  stranger-gauge  ready"));
    assertTrue(look("--trust", "nonsense").contains("64 hexadecimal digits"));
    assertTrue(look("--trust", "1".repeat(64)).contains("no jar in "));
  }

  private String look(String... more) {
    return run(Stream.concat(Stream.of("look"), Stream.of(more)).toArray(String[]::new));
  }

  private String run(String... words) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    PrintStream stream = new PrintStream(out, true, StandardCharsets.UTF_8);
    MeniscusCommand.run(
        stream,
        stream,
        new ByteArrayInputStream(new byte[0]),
        Stream.concat(
                Stream.of(words),
                Stream.of("--plugins", folder.toString(), "--trusted-jars", memory.toString()))
            .toArray(String[]::new));
    return out.toString(StandardCharsets.UTF_8);
  }

  @Test
  void atATerminalThePersonIsAsked() throws Exception {
    Path script = Path.of("/usr/bin/script");
    Needed.that(Files.isExecutable(script), "util-linux's script is not installed: no terminal");
    String command =
        String.join(
            " ",
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-XX:TieredStopAtLevel=1",
            "-XX:+UseSerialGC",
            "-cp",
            "'" + System.getProperty("java.class.path") + "'",
            "meniscus.recorder.Main look --plugins",
            folder.toString(),
            "--trusted-jars",
            memory.toString());
    Process process =
        new ProcessBuilder(script.toString(), "-qec", command, "/dev/null")
            .redirectErrorStream(true)
            .start();
    StringBuilder said = new StringBuilder();
    try (InputStream out = process.getInputStream();
        OutputStream typed = process.getOutputStream()) {
      for (int next = out.read(); next >= 0; next = out.read()) {
        said.append((char) next);
        if (said.toString().endsWith("[y/N] ")) {
          assertFalse(Files.exists(trace()), "it has run");
          typed.write("y\n".getBytes(StandardCharsets.US_ASCII));
          typed.flush();
        }
      }
    }
    assertTrue(said.toString().contains("gauge.jar  stranger-gauge  ready"), said.toString());
    assertTrue(Files.readString(memory).endsWith("  gauge.jar\n"));
  }
}
