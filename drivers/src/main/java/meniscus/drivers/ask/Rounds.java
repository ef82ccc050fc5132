package meniscus.drivers.ask;

import meniscus.core.quantity.Text;
import meniscus.core.time.Moment;

/**
 * Asks the same questions round after round; knows nothing of what they are.
 *
 * <p>A late answer must not be taken for that of the next question. So after a time-out nothing is
 * asked for one more time-out; an answer cannot come at the very moment at which its question was
 * sent; and an answer that nobody asked for sets the next question back in the same way.
 */
public final class Rounds {

  /** In time-outs after the last question: some instruments chatter. */
  private static final int LONGEST_SET_BACK = 4;

  /** Rounds do not follow each other faster, whatever the settings say [s]. */
  private static final double SHORTEST_ROUND_S = 1e-3;

  private final Pace pace;
  private final int questions;

  private boolean open;
  private boolean asked;
  private boolean awaiting;
  private int question;
  private int tries;
  private Moment roundAt = Moment.START;
  private Moment sentAt = Moment.START;
  private Moment wakeAt = Moment.START;

  /**
   * @param questions how many there are in a round
   */
  public Rounds(Pace pace, int questions) {
    this.pace = pace;
    this.questions = questions;
  }

  /** Begins with the first question of a round, not before a moment. */
  public void begin(Moment notBefore) {
    open = true;
    asked = false;
    awaiting = false;
    question = 0;
    tries = 0;
    roundAt = notBefore;
    wakeAt = notBefore;
  }

  /** Nothing is asked until {@link #begin}. */
  public void stop() {
    open = false;
    awaiting = false;
  }

  public boolean isOpen() {
    return open;
  }

  /** Whether any question was sent since the beginning. */
  public boolean hasAsked() {
    return asked;
  }

  public boolean isAwaiting() {
    return awaiting;
  }

  /** Index of the question that is awaited or comes next. */
  public int question() {
    return question;
  }

  /** When to look again. */
  public Moment wakeAt() {
    return wakeAt;
  }

  /** Whether something that came at a moment can be the answer. */
  public boolean canBeAnswer(Moment at) {
    return awaiting && at.isAfter(sentAt);
  }

  /** Whether the question is to be sent now. */
  public boolean isDue(Moment at) {
    return open && !awaiting && !wakeAt.isAfter(at);
  }

  /** As {@link #isDue}, and counts the question as sent. */
  public boolean isToBeSent(Moment at) {
    if (!isDue(at)) {
      return false;
    }
    asked = true;
    awaiting = true;
    tries++;
    sentAt = at;
    wakeAt = at.plusSeconds(pace.timeoutS());
    return true;
  }

  /** The awaited answer has come, good or bad; on to the next question. */
  public void answered(Moment at) {
    next(at, at.plusSeconds(pace.pauseS()));
  }

  /** Something came that nobody asked for: waits for silence, but not for ever. */
  public void cameUnasked(Moment at) {
    if (!awaiting) {
      double latest = LONGEST_SET_BACK * pace.timeoutS();
      double since = at.secondsSince(sentAt) + pace.timeoutS();
      wakeAt = later(wakeAt, sentAt.plusSeconds(Math.min(since, latest)));
    }
  }

  /** Whether the awaited answer is overdue. */
  public boolean isOverdue(Moment at) {
    return open && awaiting && !wakeAt.isAfter(at);
  }

  /**
   * The awaited answer did not come.
   *
   * @return whether the question is given up for this round
   */
  public boolean missed(Moment at) {
    awaiting = false;
    Moment quietUntil = at.plusSeconds(pace.timeoutS());
    if (tries <= pace.retries()) {
      wakeAt = quietUntil;
      return false;
    }
    next(at, quietUntil);
    return true;
  }

  /** What is said of a question that is given up. */
  public String silence(String what) {
    return Text.of(
        "no answer to %s within %s s, asked %s",
        what, pace.timeoutS(), pace.retries() == 0 ? "once" : pace.retries() + 1 + " times");
  }

  private void next(Moment at, Moment notBefore) {
    awaiting = false;
    tries = 0;
    question++;
    wakeAt = notBefore;
    if (question == questions) {
      question = 0;
      // Rounds keep their beat; one that was missed is left out.
      double beat = Math.max(pace.everyS(), SHORTEST_ROUND_S);
      double passed = Math.max(1, Math.ceil(at.secondsSince(roundAt) / beat));
      roundAt = roundAt.plusSeconds(passed * beat);
      wakeAt = pace.everyS() == 0 ? notBefore : later(notBefore, roundAt);
    }
  }

  private static Moment later(Moment a, Moment b) {
    return a.isAfter(b) ? a : b;
  }
}
