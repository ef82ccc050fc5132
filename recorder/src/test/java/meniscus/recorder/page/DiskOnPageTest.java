package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import meniscus.core.Deadline;
import meniscus.recorder.disk.SmallDisk;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A full disk stands on the page until there is room again. */
@Tag("long")
class DiskOnPageTest {

  @TempDir Path temp;

  @Test
  void aFullDiskIsShownUntilThereIsRoom() throws Exception {
    Path mounted = Files.createDirectory(temp.resolve("disk"));
    try (SmallDisk disk = new SmallDisk(mounted);
        Stage stage = new Stage(mounted)) {
      StagedFeed feed = StagedFeed.of(mounted.resolve("bench.json"), false, 1, 7);
      stage.run("full", stage.plan("plan.json", "0.1, 0.2"), feed, false);
      RawHttp http = new RawHttp(stage.page);
      awaitState(http, "\"lost\":[]");
      disk.fill();
      String state = awaitState(http, "\"lost\":[{\"id\":\"disk\"");
      assertTrue(state.contains("is full: free some space on it; until then"), state);
      disk.makeRoom();
      awaitState(http, "\"lost\":[]");
    }
  }

  private static String awaitState(RawHttp http, String wanted)
      throws IOException, InterruptedException {
    Deadline deadline = Deadline.of(wanted);
    String state = http.get("/api/state");
    while (!state.contains(wanted)) {
      deadline.pause(100);
      state = http.get("/api/state");
    }
    return state;
  }
}
