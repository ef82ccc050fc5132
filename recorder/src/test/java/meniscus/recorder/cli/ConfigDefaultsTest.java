package meniscus.recorder.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.self.UserFolders;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** The folder for settings is one below target/, see surefire in pom.xml. */
class ConfigDefaultsTest {

  private final Path config = UserFolders.here().config().resolve("config.json");

  private void write(String json) throws IOException {
    assertTrue(config.toString().contains("target"), "not the one of whoever runs the tests");
    Files.createDirectories(config.getParent());
    Files.writeString(config, json);
  }

  @AfterEach
  void away() throws IOException {
    Files.deleteIfExists(config);
  }

  @Test
  void theBenchOfTheShopNeedNotBeTyped() throws IOException {
    write("{\"meniscus\": \"config/1\", \"bench\": \"/nowhere/shop.json\"}");
    Called called = Called.with("health");
    assertEquals(ExitCode.BAD_DATA, called.code(), called.err());
    assertTrue(called.err().contains("shop.json"), called.err());
    assertTrue(
        Called.with("health", "--bench", "/nowhere/other.json").err().contains("other.json"));
  }

  @Test
  void withoutAConfigFileTheBenchIsAskedFor() {
    Called called = Called.with("health");
    assertEquals(ExitCode.WRONG_USAGE, called.code());
    assertTrue(called.err().contains("--bench"), called.err());
  }

  @Test
  void whereAnotherBenchIsMeantItIsNotTaken() throws IOException {
    write("{\"meniscus\": \"config/1\", \"bench\": \"/nowhere/shop.json\"}");
    assertFalse(Called.with("recompute", "/nowhere/test").err().contains("shop.json"));
  }

  @Test
  void whatIsWrongInItIsSaidByName() throws IOException {
    write("{\"meniscus\": \"config/1\", \"bunch\": \"x\"}");
    Called called = Called.with("health");
    assertEquals(ExitCode.BAD_DATA, called.code(), called.err());
    assertTrue(called.err().contains("bunch") && called.err().contains("bench"), called.err());
  }

  @Test
  void everySystemOpensABrowserInItsWay() {
    URI page = URI.create("http://127.0.0.1:8765/");
    assertEquals(List.of("xdg-open", page.toString()), UsualBrowser.command("Linux", page));
    assertEquals(List.of("open", page.toString()), UsualBrowser.command("Mac OS X", page));
    assertEquals("rundll32", UsualBrowser.command("Windows 11", page).get(0));
  }
}
