package meniscus.recorder.upkeep;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import meniscus.recorder.json.JsonOut;

/**
 * How a piece of upkeep ended: the same for whoever asked, at the terminal or on the page.
 *
 * @param kind whether the bench may be trusted with it
 * @param lines for people, one a fact
 * @param json for programs
 */
public record UpkeepOutcome(Kind kind, List<Line> lines, ObjectNode json) {

  /** How it ended. */
  public enum Kind {
    DONE("done"),
    /** Stored, and something is to be looked at before the bench is trusted. */
    DOUBT("done with doubt"),
    /** Not stored. */
    REFUSED("refused"),
    /** By the person; what was read is kept. */
    STOPPED("stopped");

    private final String word;

    Kind(String word) {
      this.word = word;
    }

    public String word() {
      return word;
    }
  }

  /**
   * @param text one fact
   * @param good false for what is to be looked at
   */
  public record Line(String text, boolean good) {}

  public UpkeepOutcome {
    lines = List.copyOf(lines);
  }

  /** Nothing was stored, and why. */
  public static UpkeepOutcome refused(String why) {
    ObjectNode json = JsonOut.object();
    json.put("refused", why);
    return new UpkeepOutcome(Kind.REFUSED, List.of(new Line(why, false)), json);
  }

  static UpkeepOutcome stopped(String what) {
    ObjectNode json = JsonOut.object();
    json.put("stopped", what);
    return new UpkeepOutcome(Kind.STOPPED, List.of(new Line(what, false)), json);
  }

  /** Gathers an outcome while a task tells what it found. */
  static final class Telling {
    private final List<Line> lines = new ArrayList<>();
    final ObjectNode json = JsonOut.object();

    void good(String line) {
      lines.add(new Line(line, true));
    }

    void bad(String line) {
      lines.add(new Line(line, false));
    }

    UpkeepOutcome as(Kind kind) {
      return new UpkeepOutcome(kind, lines, json);
    }

    UpkeepOutcome doneUnless(boolean doubt) {
      return as(doubt ? Kind.DOUBT : Kind.DONE);
    }
  }
}
