package meniscus.core.lift;

import java.time.DateTimeException;
import java.time.Instant;
import java.util.HashMap;
import java.util.Map;
import meniscus.core.lift.TestEvent.Back;
import meniscus.core.lift.TestEvent.Begun;
import meniscus.core.lift.TestEvent.Confirm;
import meniscus.core.lift.TestEvent.Kept;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.lift.TestEvent.Lost;
import meniscus.core.lift.TestEvent.Reader;
import meniscus.core.lift.TestEvent.Reckoned;
import meniscus.core.lift.TestEvent.Redone;
import meniscus.core.lift.TestEvent.Said;
import meniscus.core.lift.TestEvent.Seat;
import meniscus.core.lift.TestEvent.Segment;
import meniscus.core.lift.TestEvent.Skipped;
import meniscus.core.lift.TestEvent.Undone;
import meniscus.core.lift.TestEvent.Unread;
import meniscus.core.lift.TestEvent.What;
import meniscus.core.refusal.Refusal;

/**
 * The detail of an event as events.csv and the journal have it: the one place that writes and reads
 * it.
 *
 * <ul>
 *   <li>{@code segment}: its UTC anchor, ISO 8601 with nanoseconds
 *   <li>{@code reckoned}: {@code by_stream}
 *   <li>{@code begun}: {@code rung=1 attempt=1 aim_pa=7000.0 segment=1}
 *   <li>{@code kept}: {@code rung=1 attempt=1}
 *   <li>{@code redo}, {@code skipped}: {@code rung=1}
 *   <li>{@code undone}: {@code rung=1 now=open step=keep}, where now is {@code open}, {@code
 *       skipped} or {@code kept:attempt}
 *   <li>{@code confirm}: {@code lift_m=0.0127 control_m=0.01016 highest_pa=7000.0 first=13}
 *   <li>{@code seat}: {@code read_m=1.2E-5}
 *   <li>{@code lost}, {@code back}: the instrument's id, and more after {@code ": "}
 *   <li>all others: a text
 * </ul>
 */
public final class EventText {

  private static final String KEPT_AT = "kept:";

  private EventText() {}

  // ------------------------------------------------------------------ writing

  /** For people, and as it is written in events.csv. */
  public static String detail(TestEvent event) {
    return detail(event.what());
  }

  public static String detail(What what) {
    Writer writer = new Writer();
    what.tell(writer);
    return writer.detail;
  }

  private static final class Writer implements Reader {
    private String detail = "";

    @Override
    public void segment(Segment segment) {
      detail = segment.anchor().toString();
    }

    @Override
    public void reckoned(Reckoned reckoned) {
      detail = reckoned.by();
    }

    @Override
    public void begun(Begun begun) {
      detail =
          ("rung=" + begun.rung() + " attempt=" + begun.attempt())
              + (" aim_pa=" + begun.aimPa() + " segment=" + begun.segment());
    }

    @Override
    public void kept(Kept kept) {
      detail = "rung=" + kept.rung() + " attempt=" + kept.attempt();
    }

    @Override
    public void redone(Redone redone) {
      detail = "rung=" + redone.rung();
    }

    @Override
    public void skipped(Skipped skipped) {
      detail = "rung=" + skipped.rung();
    }

    @Override
    public void undone(Undone undone) {
      detail =
          "rung=" + undone.rung() + " now=" + word(undone.now()) + " step=" + undone.step().word();
    }

    @Override
    public void confirm(Confirm confirm) {
      detail =
          ("lift_m=" + confirm.liftM() + " control_m=" + confirm.controlM())
              + (" highest_pa=" + confirm.highestPa() + " first=" + confirm.firstRung());
    }

    @Override
    public void seat(Seat seat) {
      detail = "read_m=" + seat.readM();
    }

    @Override
    public void lost(Lost lost) {
      detail = named(lost.id(), lost.why());
    }

    @Override
    public void back(Back back) {
      detail = named(back.id(), back.meanwhile());
    }

    @Override
    public void said(Said said) {
      detail = said.text();
    }

    @Override
    public void unread(Unread unread) {
      detail = unread.detail();
    }
  }

  private static String word(RungStands now) {
    return switch (now.how()) {
      case OPEN -> "open";
      case SKIPPED -> "skipped";
      case KEPT -> KEPT_AT + now.attempt();
    };
  }

  private static String named(String id, String more) {
    return more.isEmpty() ? id : id + ": " + more;
  }

  // ------------------------------------------------------------------ reading

  /** What a detail tells; {@link Unread} when it has not the form of its kind. */
  public static What what(Kind kind, String detail) {
    try {
      What read = read(kind, detail);
      return detail(read).equals(detail) ? read : new Unread(kind, detail);
    } catch (IllegalArgumentException | DateTimeException e) { // a number or a word may be none
      return new Unread(kind, detail);
    }
  }

  private static What read(Kind kind, String detail) {
    return switch (kind) {
      case SEGMENT -> new Segment(Instant.parse(detail));
      case RECKONED -> new Reckoned(word(detail));
      case BEGUN -> {
        Words words = new Words(detail);
        yield new Begun(
            words.whole("rung"),
            words.whole("attempt"),
            Double.parseDouble(words.word("aim_pa")),
            words.whole("segment"));
      }
      case KEPT -> {
        Words words = new Words(detail);
        yield new Kept(words.whole("rung"), words.whole("attempt"));
      }
      case REDO -> new Redone(new Words(detail).whole("rung"));
      case SKIPPED -> new Skipped(new Words(detail).whole("rung"));
      case UNDONE -> {
        Words words = new Words(detail);
        yield new Undone(
            words.whole("rung"),
            stands(words.word("now")),
            Undone.Step.valueOf(words.word("step").toUpperCase(java.util.Locale.ROOT)));
      }
      case CONFIRM -> {
        Words words = new Words(detail);
        yield new Confirm(
            Double.parseDouble(words.word("lift_m")),
            Double.parseDouble(words.word("control_m")),
            Double.parseDouble(words.word("highest_pa")),
            words.whole("first"));
      }
      case SEAT -> new Seat(Double.parseDouble(new Words(detail).word("read_m")));
      case LOST -> new Lost(before(detail), after(detail));
      case BACK -> new Back(before(detail), after(detail));
      case NOTE, REJECTED, CLOCK, STOPPED -> new Said(kind, detail);
    };
  }

  private static String word(String detail) {
    if (!detail.matches("[a-z_]+")) {
      throw new Refusal("no word");
    }
    return detail;
  }

  private static RungStands stands(String now) {
    if (now.startsWith(KEPT_AT)) {
      return RungStands.kept(Integer.parseInt(now.substring(KEPT_AT.length())));
    }
    return RungStands.How.valueOf(now.toUpperCase(java.util.Locale.ROOT)) == RungStands.How.OPEN
        ? RungStands.OPEN
        : RungStands.SKIPPED;
  }

  private static String before(String detail) {
    int colon = detail.indexOf(": ");
    return colon < 0 ? detail : detail.substring(0, colon);
  }

  private static String after(String detail) {
    int colon = detail.indexOf(": ");
    return colon < 0 ? "" : detail.substring(colon + 2);
  }

  /** The {@code name=value} words of a detail. */
  private static final class Words {
    private final Map<String, String> words = new HashMap<>();

    Words(String detail) {
      for (String word : detail.split(" ")) {
        int equals = word.indexOf('=');
        if (equals > 0) {
          words.putIfAbsent(word.substring(0, equals), word.substring(equals + 1));
        }
      }
    }

    String word(String name) {
      String word = words.get(name);
      if (word == null) {
        throw new Refusal("no " + name);
      }
      return word;
    }

    int whole(String name) {
      return Integer.parseInt(word(name));
    }
  }
}
