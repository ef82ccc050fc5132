package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import meniscus.core.quantity.Digits;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The interval that is told when a point is kept, and the one in the file. */
class IntervalsTest {

  @TempDir Path temp;

  @Test
  void anIntervalThatIsOtherInTheFileIsSaidWithTheReason() throws Exception {
    Path files = Recorder.files(temp);
    Path out = temp.resolve("out");
    Ran ran = Recorder.record(files, out, "", "--hands-free");
    Map<Integer, Double> told = new HashMap<>();
    ran.events("kept").forEach(e -> told.put(e.get("rung").asInt(), e.get("flow_u95").asDouble()));
    Map<Integer, Double> written = written(out);
    assertEquals(written.keySet(), told.keySet());
    Set<Integer> differing = new HashSet<>();
    for (int rung : told.keySet()) {
      if (!Digits.uncertainty(told.get(rung)).equals(Digits.uncertainty(written.get(rung)))) {
        differing.add(rung);
      }
    }
    assertTrue(!differing.isEmpty(), "else this test shows nothing: " + told + written);
    Set<Integer> said = new HashSet<>();
    for (JsonNode each : ran.events("finished").get(0).get("intervals_changed")) {
      int rung = each.get("rung").asInt();
      said.add(rung);
      assertEquals(told.get(rung), each.get("flow_u95_when_kept").asDouble(), 1e-9);
      assertEquals(written.get(rung), each.get("flow_u95").asDouble(), 1e-9);
    }
    assertEquals(differing, said);
    Ran forPeople =
        Recorder.run(
            "",
            "record",
            "--bench",
            files.resolve("bench.json"),
            "--plan",
            files.resolve("plan.json"),
            "--out",
            temp.resolve("again"),
            "--quick",
            "--hands-free");
    assertTrue(forPeople.out().contains("when kept"), forPeople.out());
    assertTrue(forPeople.out().contains("once the lifts beside it are taken"), forPeople.out());
  }

  private static Map<Integer, Double> written(Path folder) throws Exception {
    List<String> lines = Files.readAllLines(folder.resolve("points.csv"));
    List<String> names = List.of(lines.get(0).split(","));
    Map<Integer, Double> written = new HashMap<>();
    for (String line : lines.subList(1, lines.size())) {
      String[] cells = line.split(",");
      written.put(
          Integer.parseInt(cells[names.indexOf("rung")]),
          Double.parseDouble(cells[names.indexOf("flow_u95")]));
    }
    return written;
  }
}
