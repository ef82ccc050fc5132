package meniscus.core.lift;

import java.time.DateTimeException;
import java.time.Instant;
import java.util.HashMap;
import java.util.Map;
import java.util.OptionalDouble;
import meniscus.core.lift.TestEvent.Back;
import meniscus.core.lift.TestEvent.Begun;
import meniscus.core.lift.TestEvent.Confirm;
import meniscus.core.lift.TestEvent.Kept;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.lift.TestEvent.Lost;
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
 *   <li>{@code confirm}: {@code lift_m=0.0127 control_m=0.01016 highest_pa=7000.0 first=13}; {@code
 *       pressures=5} where they are not six, and {@code other_way_from_m=0.01143} where the air is
 *       sent the other way as well
 *   <li>{@code seat}: {@code read_m=1.2E-5}
 *   <li>{@code lost}, {@code back}: the instrument's id, and more after {@code ": "}
 *   <li>all others: a text
 * </ul>
 */
public final class EventText {

  private static final String KEPT_AT = "kept:";
  private static final String PRESSURES = " pressures";
  private static final int USUAL_PRESSURES = 6; // of all programs before the number was written
  private static final String OTHER_WAY = " other_way_from_m";

  private EventText() {}

  // ------------------------------------------------------------------ writing

  /** For people, and as it is written in events.csv. */
  public static String detail(TestEvent event) {
    return detail(event.what());
  }

  public static String detail(What what) {
    if (what instanceof Segment segment) {
      return segment.anchor().toString();
    }
    if (what instanceof Reckoned reckoned) {
      return reckoned.by();
    }
    if (what instanceof Begun begun) {
      return ("rung=" + begun.rung() + " attempt=" + begun.attempt())
          + (" aim_pa=" + begun.aimPa() + " segment=" + begun.segment());
    }
    if (what instanceof Kept kept) {
      return "rung=" + kept.rung() + " attempt=" + kept.attempt();
    }
    if (what instanceof Redone redone) {
      return "rung=" + redone.rung();
    }
    if (what instanceof Skipped skipped) {
      return "rung=" + skipped.rung();
    }
    if (what instanceof Undone it) {
      return "rung=" + it.rung() + " now=" + word(it.now()) + " step=" + it.step().word();
    }
    if (what instanceof Confirm confirm) {
      return ("lift_m=" + confirm.liftM() + " control_m=" + confirm.controlM())
          + (" highest_pa=" + confirm.highestPa() + " first=" + confirm.firstRung())
          + (confirm.pressures() == USUAL_PRESSURES ? "" : PRESSURES + "=" + confirm.pressures())
          + (confirm.otherWayFromM().isPresent()
              ? OTHER_WAY + "=" + confirm.otherWayFromM().getAsDouble()
              : "");
    }
    if (what instanceof Seat seat) {
      return "read_m=" + seat.readM();
    }
    if (what instanceof Lost lost) {
      return named(lost.id(), lost.why());
    }
    if (what instanceof Back back) {
      return named(back.id(), back.meanwhile());
    }
    return what instanceof Said said ? said.text() : ((Unread) what).detail();
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
            detail.contains(PRESSURES) ? words.whole(PRESSURES.strip()) : USUAL_PRESSURES,
            words.whole("first"),
            detail.contains(OTHER_WAY)
                ? OptionalDouble.of(Double.parseDouble(words.word(OTHER_WAY.strip())))
                : OptionalDouble.empty());
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
