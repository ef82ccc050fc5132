package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Path;
import meniscus.core.bench.Bench;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;

/** A page over an empty folder, and the steps of setting up. */
abstract class PageFromNothing {

  @RegisterExtension static final Browser browser = new Browser();

  @TempDir Path data;
  PageServer page;

  @BeforeEach
  void serve() throws IOException {
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
    browser.complaints();
  }

  @AfterEach
  void end() {
    page.close();
    browser.driver.get("about:blank");
  }

  Bench bench() {
    return BenchFile.read(data.resolve("bench.json"));
  }

  void step(String name, String ready) {
    browser.click(".set-up-steps a[href='#set-up/" + name + "']");
    browser.await(name, () -> browser.shown(ready));
  }

  void awaitEnd(String title) {
    browser.await(
        "the end of " + title,
        () -> browser.text(".under-way h3").startsWith(title) && browser.count(".ended") == 1);
    assertEquals("✓ Done", browser.text(".ended"), browser.text(".under-way"));
  }
}
