package meniscus.drivers.text;

import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Printable;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Request;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;
import meniscus.drivers.ask.Rounds;

/** One line of a {@link TextAskDriver}: asks, awaits, asks again. */
final class TextAskDecoder implements Decoder {

  private final Framing framing;
  private final QuestionRound asking;
  private final LineSplitter splitter;
  private final LineReading[] readings;
  private final Rounds rounds;
  private final LineSplitter.Taker taker = this::take;
  private int begun;

  TextAskDecoder(Framing framing, QuestionRound asking) {
    this.framing = framing;
    this.asking = asking;
    this.splitter = framing.newSplitter();
    this.readings =
        asking.asks().stream()
            .map(ask -> new LineReading(ask.grammar().orElseThrow(), framing.longest()))
            .toArray(LineReading[]::new);
    this.rounds = new Rounds(asking.pace(), readings.length);
  }

  List<Channel> channels() {
    return asking.channels();
  }

  @Override
  public Next opened(Moment at) {
    splitter.reset();
    for (LineReading reading : readings) {
      reading.restart();
    }
    begun = 0;
    rounds.begin(at);
    return sendWhatIsDue(at);
  }

  @Override
  public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
    splitter.accept(at, buffer, sink, taker);
    return sendWhatIsDue(at);
  }

  @Override
  public Next tick(Moment at, Sink sink) {
    if (rounds.isOverdue(at)) {
      String command = Printable.text(ByteBuffer.wrap(current().command()));
      if (rounds.missed(at)) {
        sink.rejected(new Rejected(at, "", rounds.silence("\"" + command + "\"")));
      }
    }
    return sendWhatIsDue(at);
  }

  @Override
  public void lost(Moment at) {
    splitter.reset();
    rounds.stop();
  }

  private void take(Moment at, byte[] line, int length, Sink sink) {
    boolean answersABeginning = !rounds.hasAsked();
    if (framing.isRemark(line, length) || isEcho(line, length) || answersABeginning) {
      return;
    }
    if (!rounds.canBeAnswer(at)) {
      reject(at, line, length, sink, "nobody asked for this; a late answer?");
      rounds.cameUnasked(at);
      return;
    }
    LineReading reading = readings[rounds.question()];
    Optional<String> wrong = reading.read(line, length);
    if (wrong.isPresent()) {
      reject(at, line, length, sink, wrong.get());
      return;
    }
    reading.give(at, sink, current().firstChannel());
    rounds.answered(at);
  }

  private Next sendWhatIsDue(Moment at) {
    if (!rounds.isOpen()) {
      return Next.NOTHING;
    }
    if (begun < asking.begin().size() && !rounds.wakeAt().isAfter(at)) {
      Request command = asking.begin().get(begun).request();
      begun++;
      rounds.begin(at.plusSeconds(Math.max(asking.pace().pauseS(), 1e-3)));
      return Next.send(command, rounds.wakeAt());
    }
    if (!rounds.isToBeSent(at)) {
      return Next.wake(rounds.wakeAt());
    }
    if (splitter.isPartial()) {
      // Half a line is no answer to what is asked now; its rest must not look like one.
      splitter.skipToEnd();
    }
    return Next.send(current().request(), rounds.wakeAt());
  }

  private Ask current() {
    return asking.asks().get(rounds.question());
  }

  private boolean isEcho(byte[] line, int length) {
    if (!asking.echo() || !rounds.isAwaiting()) {
      return false;
    }
    byte[] command = current().command();
    return Arrays.equals(line, 0, length, command, 0, command.length);
  }

  private static void reject(Moment at, byte[] line, int length, Sink sink, String why) {
    sink.rejected(new Rejected(at, Printable.text(ByteBuffer.wrap(line, 0, length)), why));
  }
}
