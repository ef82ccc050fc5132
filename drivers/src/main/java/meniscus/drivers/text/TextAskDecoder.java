package meniscus.drivers.text;

import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Request;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;

/**
 * One line of a {@link TextAskDriver}: asks, awaits, asks again.
 *
 * <p>A late answer must not be taken for that of the next question. So after a time-out nothing is
 * sent for one more time-out, and what comes then is rejected; an answer cannot come in the same
 * chunk that let its question be sent; and a line that nobody asked for sets the next question back
 * in the same way.
 */
final class TextAskDecoder implements Decoder {

  /** In time-outs after the last question. */
  private static final int LONGEST_SET_BACK = 4;

  private final Framing framing;
  private final Asking asking;
  private final LineSplitter splitter;
  private final LineReading[] readings;
  private final LineSplitter.Taker taker = this::take;

  private boolean open;
  private boolean asked;
  private boolean awaiting;
  private int begun;
  private int index;
  private int tries;
  private Moment roundAt = Moment.START;
  private Moment sentAt = Moment.START;
  private Moment wakeAt = Moment.START;

  TextAskDecoder(Framing framing, Asking asking) {
    this.framing = framing;
    this.asking = asking;
    this.splitter = framing.newSplitter();
    this.readings =
        asking.asks().stream()
            .map(ask -> new LineReading(ask.grammar().orElseThrow(), framing.longest()))
            .toArray(LineReading[]::new);
  }

  List<Channel> channels() {
    return asking.channels();
  }

  @Override
  public Next opened(Moment at) {
    splitter.reset();
    open = true;
    asked = false;
    awaiting = false;
    begun = 0;
    index = 0;
    tries = 0;
    roundAt = at;
    wakeAt = at;
    return sendWhatIsDue(at);
  }

  @Override
  public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
    splitter.accept(at, buffer, sink, taker);
    return open ? sendWhatIsDue(at) : Next.NOTHING;
  }

  @Override
  public Next tick(Moment at, Sink sink) {
    if (open && awaiting && !wakeAt.isAfter(at)) {
      timeOut(at, sink);
    }
    return open ? sendWhatIsDue(at) : Next.NOTHING;
  }

  @Override
  public void lost(Moment at) {
    splitter.reset();
    open = false;
    awaiting = false;
  }

  private void take(Moment at, byte[] line, int length, Sink sink) {
    if (framing.isRemark(line, length) || isEcho(line, length)) {
      return;
    }
    if (!asked) {
      return;
    }
    if (!awaiting || !at.isAfter(sentAt)) {
      reject(at, line, length, sink, "nobody asked for this; a late answer?");
      setBack(at);
      return;
    }
    Optional<String> wrong = readings[index].read(line, length);
    if (wrong.isPresent()) {
      reject(at, line, length, sink, wrong.get());
      return;
    }
    readings[index].give(at, sink, asking.asks().get(index).firstChannel());
    toNextQuestion(at, at.plusSeconds(asking.pauseS()));
  }

  /** Waits for silence, but not for ever: some instruments chatter. */
  private void setBack(Moment at) {
    if (!awaiting) {
      double latest = LONGEST_SET_BACK * asking.timeoutS();
      double since = at.secondsSince(sentAt) + asking.timeoutS();
      wakeAt = later(wakeAt, sentAt.plusSeconds(Math.min(since, latest)));
    }
  }

  private void timeOut(Moment at, Sink sink) {
    awaiting = false;
    Moment quietUntil = at.plusSeconds(asking.timeoutS());
    if (tries <= asking.retries()) {
      wakeAt = quietUntil;
      return;
    }
    sink.rejected(
        new Rejected(
            at,
            "",
            String.format(
                Locale.ROOT,
                "no answer to \"%s\" within %s s, asked %d times",
                Printable.text(ByteBuffer.wrap(asking.asks().get(index).command())),
                asking.timeoutS(),
                tries)));
    toNextQuestion(at, quietUntil);
  }

  private void toNextQuestion(Moment at, Moment notBefore) {
    awaiting = false;
    tries = 0;
    index++;
    wakeAt = notBefore;
    if (index == asking.asks().size()) {
      index = 0;
      // Rounds keep their beat; one that was missed is left out.
      double beat = Math.max(asking.everyS(), 1e-3);
      double passed = Math.max(1, Math.ceil(at.secondsSince(roundAt) / beat));
      roundAt = roundAt.plusSeconds(passed * beat);
      wakeAt = later(notBefore, asking.everyS() == 0 ? notBefore : roundAt);
    }
  }

  private Next sendWhatIsDue(Moment at) {
    if (awaiting || wakeAt.isAfter(at)) {
      return Next.wake(wakeAt);
    }
    if (begun < asking.begin().size()) {
      Request command = asking.begin().get(begun).request();
      begun++;
      wakeAt = at.plusSeconds(Math.max(asking.pauseS(), 1e-3));
      roundAt = wakeAt;
      return Next.send(command, wakeAt);
    }
    if (splitter.isPartial()) {
      // Half a line is no answer to what is asked now; its rest must not look like one.
      splitter.skipToEnd();
    }
    asked = true;
    awaiting = true;
    tries++;
    sentAt = at;
    wakeAt = at.plusSeconds(asking.timeoutS());
    return Next.send(asking.asks().get(index).request(), wakeAt);
  }

  private boolean isEcho(byte[] line, int length) {
    if (!asking.echo() || !awaiting) {
      return false;
    }
    byte[] command = asking.asks().get(index).command();
    return Arrays.equals(line, 0, length, command, 0, command.length);
  }

  private static void reject(Moment at, byte[] line, int length, Sink sink, String why) {
    sink.rejected(new Rejected(at, Printable.text(ByteBuffer.wrap(line, 0, length)), why));
  }

  private static Moment later(Moment a, Moment b) {
    return a.isAfter(b) ? a : b;
  }
}
