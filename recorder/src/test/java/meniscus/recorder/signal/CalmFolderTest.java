package meniscus.recorder.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import meniscus.core.steadiness.Band;
import meniscus.core.steadiness.BandLevels;
import meniscus.core.steadiness.CalmRun;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CalmFolderTest {

  @TempDir Path folder;

  @Test
  void runsReadBackAsWritten() throws IOException {
    CalmRun run =
        new CalmRun(
            "plate-46",
            12.5,
            new CalmRun.Where("high", "suction", 6974.5),
            Map.of(Band.MIDDLE, new BandLevels.Level(0.25, 0.003)),
            new double[] {0, 0.1, 0.2},
            new double[] {12.4, Double.NaN, 12.6});
    CalmFolder calm = new CalmFolder(folder);
    calm.write(List.of(run));
    CalmRun back = calm.read("time_s", "value").runs().get(0);
    assertEquals("high suction", back.range() + " " + back.direction());
    assertEquals(12.5, back.mean());
    assertEquals(6974.5, back.testPressurePa());
    assertEquals(run.loud(), back.loud());
    assertArrayEquals(run.seconds(), back.seconds());
    assertArrayEquals(run.values(), back.values());
  }

  @Test
  void csvAloneIsEnough() throws IOException {
    Files.writeString(folder.resolve("a.csv"), "time_s,value\n0,1\n1,2\n", StandardCharsets.UTF_8);
    assertEquals(1, new CalmFolder(folder).read("time_s", "value").runs().size());
  }

  @Test
  void anEmptyFolderIsSaidToBeEmpty() {
    BadSignal e =
        assertThrows(BadSignal.class, () -> new CalmFolder(folder).read("time_s", "value"));
    assertTrue(e.getMessage().contains("holds no CSV"), e.getMessage());
  }

  @Test
  void anIndexThatNamesAMissingFileIsRefused() throws IOException {
    Files.writeString(folder.resolve("a.csv"), "time_s,value\n0,1\n1,2\n", StandardCharsets.UTF_8);
    Files.writeString(
        folder.resolve("calm.json"), "{\"runs\":[{\"file\":\"b.csv\"}]}", StandardCharsets.UTF_8);
    assertThrows(BadSignal.class, () -> new CalmFolder(folder).read("time_s", "value"));
  }
}
