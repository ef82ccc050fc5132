package meniscus.recorder.plugin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Settings;
import meniscus.core.instrument.Transcript;
import meniscus.drivers.line.LineKind;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Jars of strangers: the good are used, the hostile refused with their reason. */
@Tag("long")
class PluginFolderTest {

  /** Enough for a good jar on a loaded machine, short enough to wait for a hanging one [ms]. */
  private static final long PATIENCE_MS = 2_500;

  private static final InstrumentSheet SHEET =
      new InstrumentSheet("gauge", "stranger-gauge", new Settings("sheet", Map.of()));

  private static final String HANG = JarMaker.HANG;

  @TempDir private Path temp;
  private Path folder;

  @BeforeEach
  void makeTheFolder() throws IOException {
    folder = Files.createDirectory(temp.resolve("plugins"));
  }

  private JarMaker jar() throws IOException {
    return new JarMaker(temp);
  }

  private void put(String name, JarMaker jar) throws IOException {
    jar.into(folder.resolve(name));
  }

  private PluginFolder read() throws IOException {
    return PluginFolder.read(folder, Trust.IN_ALL, PATIENCE_MS);
  }

  private String reasonFor(String jar) throws IOException {
    List<Plugin> found = read().found();
    Plugin plugin = found.stream().filter(each -> each.jar().equals(jar)).findFirst().orElseThrow();
    return plugin.refused().orElse("ready");
  }

  @Test
  void aGoodDriverIsFoundAndReads() throws Exception {
    put("good.jar", jar().driver("Good", "stranger-gauge"));
    PluginFolder read = read();
    assertEquals(List.of(new Plugin("good.jar", "stranger-gauge", Optional.empty())), read.found());
    InstrumentDriver driver = read.drivers().named("stranger-gauge");
    assertEquals("pressure", driver.channels(SHEET).get(0).name());
    assertTrue(
        Transcript.received("12\n").play(driver.newDecoder(SHEET)).stream()
            .anyMatch(said -> said instanceof Transcript.Reading reading && reading.value() == 12));
  }

  @Test
  void sevenHostileJarsAreRefusedWithTheirReasonAndTheGoodOneBesideThemWorks() throws Exception {
    put("a-good.jar", jar().driver("Good", "stranger-gauge"));
    HostileJars.into(folder, temp);

    PluginFolder read = read();
    assertEquals(
        List.of(
            "a-good.jar ready",
            "b-newer.jar was compiled for version 99 of InstrumentDriver, this program has version"
                + " 1: it needs a newer program",
            "c-missing.jar a class is missing in the constructor of stranger.Missing:"
                + " stranger.Gone; does the jar hold everything it needs?",
            "d-throws.jar the constructor of stranger.Throws throws"
                + " java.lang.IllegalStateException: no [2J luck",
            "e-again.jar its id \"stranger-gauge\" is taken already by another",
            "f-open.jar the class stranger.Open is not final",
            "g-hangs.jar does not come back from id() of stranger.Hangs",
            "h-deep.jar runs out of stack in id() of stranger.Deep"),
        read.found().stream()
            .map(each -> each.jar() + " " + each.refused().orElse("ready"))
            .toList());
    assertEquals("stranger-gauge", read.drivers().named("stranger-gauge").id());
    int shipped = PluginFolder.none().drivers().all().size();
    assertEquals(shipped + 1, read.drivers().all().size());
  }

  @Test
  void aJarWithTheSerialLibraryIsRefused() throws Exception {
    put("x.jar", jar().driver("Good", "good").file("com/fazecast/jSerialComm/X.class", ""));
    assertTrue(reasonFor("x.jar").contains("carries com/fazecast/"), reasonFor("x.jar"));
  }

  @Test
  void whatIsNoJarAndWhatHoldsNothingIsSaidToBeSo() throws Exception {
    Files.writeString(folder.resolve("text.jar"), "not a jar");
    put("empty.jar", jar().file("read.me", "nothing"));
    put(
        "shipped.jar",
        jar()
            .file(
                "META-INF/services/meniscus.core.instrument.InstrumentDriver",
                "meniscus.core.instrument.Gauge"));
    assertTrue(reasonFor("text.jar").startsWith("is no readable jar"), reasonFor("text.jar"));
    assertTrue(reasonFor("empty.jar").startsWith("names no driver"), reasonFor("empty.jar"));
    assertTrue(reasonFor("shipped.jar").contains("not found"), reasonFor("shipped.jar"));
  }

  @Test
  void anIdOfTheProgramsOwnDriversIsTaken() throws Exception {
    put("x.jar", jar().driver("Mine", "text-stream"));
    assertEquals("its id \"text-stream\" is taken already by another", reasonFor("x.jar"));
  }

  @Test
  void aPluginHasItsOwnClassesAndNotThoseOfTheProgram() throws Exception {
    put("a.jar", withHelper("A", "first"));
    put("b.jar", withHelper("B", "second"));
    put(
        "c.jar",
        jar()
            .driver(
                "C",
                "third",
                "/*constructor*/",
                "com.fasterxml.jackson.databind.node.JsonNodeFactory.instance.objectNode();"));
    PluginFolder read = read();
    assertEquals("made by A", read.drivers().named("first").summary());
    assertEquals("made by B", read.drivers().named("second").summary());
    assertTrue(
        reasonFor("c.jar").contains("com.fasterxml.jackson.databind.node.JsonNodeFactory"),
        reasonFor("c.jar"));
  }

  private JarMaker withHelper(String name, String id) throws IOException {
    return jar()
        .source(
            "Maker",
            "final class Maker { static String said() { return \"made by %s\"; } }".formatted(name))
        .driver(name, id, "return \"a stranger's gauge\";", "return Maker.said();");
  }

  @Test
  void aCallThatFailsLaterIsAFaultOfItsInstrumentOnly() throws Exception {
    String channels = "sheet.settings().done();";
    put("a.jar", jar().driver("A", "hangs-later", channels, HANG));
    put(
        "b.jar",
        jar().driver("B", "throws-later", channels, "if (true) throw new Error(\"later\");"));
    put("c.jar", jar().driver("C", "refuses", channels, "sheet.settings().text(\"unit\");"));
    PluginFolder read = read();
    assertEquals(
        "the driver \"hangs-later\" does not come back from channels()",
        refusal(read, "hangs-later"));
    assertEquals(
        "the driver \"throws-later\" channels() throws java.lang.Error: later",
        refusal(read, "throws-later"));
    assertEquals("sheet: \"unit\" is missing; it must be text", refusal(read, "refuses"));
  }

  private static String refusal(PluginFolder read, String id) {
    InstrumentDriver driver = read.drivers().named(id);
    return assertThrows(IllegalArgumentException.class, () -> driver.channels(SHEET)).getMessage();
  }

  @Test
  void aKindOfLineComesThroughTheSecondDoor() throws Exception {
    put("line.jar", lineJar("return API_VERSION;"));
    PluginFolder read = read();
    assertEquals(List.of(new Plugin("line.jar", "loop", Optional.empty())), read.found());
    LineKind kind =
        read.drivers().lineKinds().stream()
            .filter(each -> each.id().equals("loop"))
            .findFirst()
            .orElseThrow();
    assertEquals("loop-1", kind.found().get(0).port());
  }

  @Test
  void aKindOfLineForANewerDoorIsRefused() throws Exception {
    put("line.jar", lineJar("return 2;"));
    assertTrue(
        reasonFor("line.jar").startsWith("was compiled for version 2 of LineKind"),
        reasonFor("line.jar"));
  }

  private JarMaker lineJar(String version) throws IOException {
    return jar()
        .source(
            "Loop",
            """
            public final class Loop implements LineKind {
              public String id() { return "loop"; }
              public String summary() { return "a line that answers itself"; }
              public int apiVersion() { %s }
              public LineOpener opener(Settings settings) {
                throw new IllegalArgumentException("no");
              }
              public List<FoundLine> found() {
                return List.of(new FoundLine("loop", "loop-1", "", Map.of()));
              }
            }
            """
                .formatted(version))
        .lineKind("Loop");
  }

  @Test
  void aPluginsDriverReadsOverAPluginsLineAndALineThatThrowsIsOpenedAgain() throws Exception {
    put("driver.jar", jar().driver("Good", "stranger-gauge"));
    put(
        "line.jar",
        jar()
            .source(
                "Loop",
                """
                public final class Loop implements LineKind {
                  public String id() { return "loop"; }
                  public String summary() { return "a line that speaks to itself"; }
                  public int apiVersion() { return API_VERSION; }
                  public LineOpener opener(Settings settings) {
                    settings.text("kind");
                    settings.done();
                    return new LineOpener() {
                      int opened;
                      public String name() { return "loop"; }
                      public Line open() {
                        boolean first = opened++ == 0;
                        return new Line() {
                          int said;
                          public int read(ByteBuffer into, int waitMs) {
                            if (said == 2 && first) throw new Error("worn out");
                            if (said == 3) return ENDED;
                            into.put(("12" + said++ + "\\n").getBytes());
                            return 4;
                          }
                          public void write(ByteBuffer bytes) {}
                          public void close() { throw new Error("never mind"); }
                        };
                      }
                    };
                  }
                }
                """)
            .lineKind("Loop"));
    Path sheet = temp.resolve("gauge.json");
    Files.writeString(
        sheet,
        "{\"meniscus\": \"sheet/1\", \"name\": \"gauge\", \"driver\": \"stranger-gauge\","
            + " \"line\": {\"kind\": \"loop\"}}");
    String said = trusting("listen", "--sheet", sheet.toString());
    assertTrue(said.contains("= pressure 121 Pa"), said);
    assertTrue(said.contains("read() throws java.lang.Error: worn out"), said);
    assertTrue(said.contains("= pressure 122 Pa"), said);
    assertTrue(said.contains("5 frames read"), said);
  }

  @Test
  void lookShowsWhatIsReadyAndWhatIsRefusedAndWhy() throws Exception {
    put("a.jar", jar().driver("Good", "stranger-gauge"));
    put("b.jar", jar().driver("Open", "open", "public final class", "public class"));
    JsonNode said = new ObjectMapper().readTree(trusting("look", "--json"));
    for (JsonNode each : said.get("plugins")) {
      assertEquals(
          sha256(folder.resolve(each.get("jar").asText())),
          ((ObjectNode) each).remove("sha256").asText());
    }
    assertEquals(
        "[{\"jar\":\"a.jar\",\"id\":\"stranger-gauge\",\"state\":\"ready\",\"reason\":\"\"},"
            + "{\"jar\":\"b.jar\",\"id\":\"\",\"state\":\"refused\","
            + "\"reason\":\"the class stranger.Open is not final\"}]",
        said.get("plugins").toString());
    String text = trusting("look");
    assertTrue(text.contains("b.jar    refused: the class stranger.Open is not final"), text);
    assertTrue(text.contains("stranger-gauge  a stranger's gauge"), text);
    assertTrue(text.contains("sha256 " + sha256(folder.resolve("a.jar"))), text);
  }

  /** With the folder, and every jar in it agreed to. */
  private String trusting(String... arguments) throws Exception {
    List<String> words = new ArrayList<>(List.of(arguments));
    words.addAll(List.of("--plugins", folder.toString()));
    words.addAll(List.of("--trusted-jars", temp.resolve("trusted-jars").toString()));
    try (DirectoryStream<Path> jars = Files.newDirectoryStream(folder)) {
      for (Path jar : jars) {
        words.addAll(List.of("--trust", sha256(jar)));
      }
    }
    return run(words.toArray(String[]::new));
  }

  private static String sha256(Path jar) throws Exception {
    byte[] hash = MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(jar));
    return HexFormat.of().formatHex(hash);
  }

  private static String run(String... arguments) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    PrintStream stream = new PrintStream(out, true, StandardCharsets.UTF_8);
    int code =
        MeniscusCommand.run(stream, stream, new ByteArrayInputStream(new byte[0]), arguments);
    String said = out.toString(StandardCharsets.UTF_8);
    assertEquals(0, code, said);
    return said;
  }
}
