package meniscus.drivers.text;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
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
import meniscus.drivers.ask.Pace;
import meniscus.drivers.ask.Rounds;

/** One line of a {@link ScpiDriver}: who are you, set-up, errors, and then readings. */
final class ScpiDecoder implements Decoder {

  /** SCPI-1999 volume 1, 7.2.1: 9.9E37 is infinity, 9.91E37 is not a number. */
  private static final double NO_VALUE_FROM = 9.9e37;

  /** An error queue that never empties must not keep readings away for ever. */
  private static final int MOST_ERRORS = 30;

  private enum Phase {
    IDENTITY,
    ERRORS,
    READINGS
  }

  private final Framing framing;
  private final QuestionRound asking;
  private final String identity;
  private final LineSplitter splitter;
  private final LineReading[] readings;
  private final Rounds single;
  private final Rounds rounds;
  private final LineSplitter.Taker taker = this::take;

  private Phase phase = Phase.IDENTITY;
  private boolean isSetUp;
  private int errors;

  ScpiDecoder(Framing framing, QuestionRound asking, String identity) {
    this.framing = framing;
    this.asking = asking;
    this.identity = identity;
    this.splitter = framing.newSplitter();
    this.readings =
        asking.asks().stream()
            .map(
                ask ->
                    new LineReading(ask.grammar().orElseThrow(), framing.longest(), NO_VALUE_FROM))
            .toArray(LineReading[]::new);
    this.rounds = new Rounds(asking.pace(), readings.length);
    Pace pace = asking.pace();
    this.single = new Rounds(new Pace(pace.timeoutS(), pace.pauseS(), pace.timeoutS(), 0), 1);
  }

  List<Channel> channels() {
    return asking.channels();
  }

  @Override
  public Next opened(Moment at) {
    splitter.reset();
    rounds.stop();
    isSetUp = false;
    phase = Phase.IDENTITY;
    single.begin(at);
    return sendWhatIsDue(at);
  }

  @Override
  public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
    splitter.accept(at, buffer, sink, taker);
    return sendWhatIsDue(at);
  }

  @Override
  public Next tick(Moment at, Sink sink) {
    Rounds asked = asked();
    if (asked.isOverdue(at)) {
      String question = question();
      if (asked.missed(at)) {
        sink.rejected(new Rejected(at, "", asked.silence("\"" + question + "\"")));
        if (phase == Phase.READINGS) {
          askForErrors(at.plusSeconds(asking.pace().timeoutS()));
        }
      }
    }
    return sendWhatIsDue(at);
  }

  @Override
  public void lost(Moment at) {
    splitter.reset();
    single.stop();
    rounds.stop();
  }

  private void take(Moment at, byte[] line, int length, Sink sink) {
    if (framing.isRemark(line, length)) {
      return;
    }
    if (!asked().canBeAnswer(at)) {
      reject(at, line, length, sink, "nobody asked for this; a late answer?");
      asked().cameUnasked(at);
      return;
    }
    switch (phase) {
      case IDENTITY -> identified(at, line, length, sink);
      case ERRORS -> error(at, line, length, sink);
      case READINGS -> reading(at, line, length, sink);
    }
  }

  private void identified(Moment at, byte[] line, int length, Sink sink) {
    single.answered(at);
    String name = new String(line, 0, length, StandardCharsets.ISO_8859_1);
    if (name.contains(identity)) {
      askForErrors(at.plusSeconds(asking.pace().pauseS()));
    } else {
      reject(
          at, line, length, sink, "this is not the instrument of the sheet, \"" + identity + "\"");
    }
  }

  private void askForErrors(Moment notBefore) {
    phase = Phase.ERRORS;
    errors = 0;
    single.begin(notBefore);
  }

  private void error(Moment at, byte[] line, int length, Sink sink) {
    String answer = new String(line, 0, length, StandardCharsets.ISO_8859_1).strip();
    boolean none = answer.matches("[+-]?0+(,.*)?");
    if (!none) {
      reject(at, line, length, sink, "the instrument reports an error");
      errors++;
    }
    Moment next = at.plusSeconds(asking.pace().pauseS());
    if (none || errors == MOST_ERRORS) {
      phase = Phase.READINGS;
      single.stop();
      rounds.begin(next);
    } else {
      single.begin(next);
    }
  }

  private void reading(Moment at, byte[] line, int length, Sink sink) {
    LineReading reading = readings[rounds.question()];
    Optional<String> wrong = reading.read(line, length);
    if (wrong.isPresent()) {
      reject(at, line, length, sink, wrong.get());
      return;
    }
    reading.give(at, sink, asking.asks().get(rounds.question()).firstChannel());
    rounds.answered(at);
  }

  private Next sendWhatIsDue(Moment at) {
    Rounds asked = asked();
    if (!asked.isOpen()) {
      return Next.NOTHING;
    }
    if (!asked.isToBeSent(at)) {
      return Next.wake(asked.wakeAt());
    }
    if (splitter.isPartial()) {
      splitter.skipToEnd();
    }
    List<Request> requests = new ArrayList<>();
    if (phase == Phase.ERRORS && !isSetUp) {
      isSetUp = true;
      asking.begin().forEach(command -> requests.add(command.request()));
    }
    requests.add(
        phase == Phase.READINGS
            ? asking.asks().get(rounds.question()).request()
            : Request.ofText(question() + asking.commandEnd()));
    return new Next(requests, Optional.of(asked.wakeAt()));
  }

  private Rounds asked() {
    return phase == Phase.READINGS ? rounds : single;
  }

  /** As text; for messages when it is the sheet's own. */
  private String question() {
    return switch (phase) {
      case IDENTITY -> "*IDN?";
      case ERRORS -> "SYST:ERR?";
      case READINGS ->
          Printable.text(ByteBuffer.wrap(asking.asks().get(rounds.question()).command()));
    };
  }

  private static void reject(Moment at, byte[] line, int length, Sink sink, String why) {
    sink.rejected(new Rejected(at, Printable.text(ByteBuffer.wrap(line, 0, length)), why));
  }
}
