package meniscus.drivers.line.rfc2217;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import meniscus.drivers.line.rfc2217.PortSettings.Message;

/**
 * What both ends agree on after connecting: plain bytes both ways, and the far port's settings.
 * Pure: it is told commands, and gathers what is to be sent.
 */
final class Negotiation implements TelnetCodec.Commands {

  private static final int BINARY = 0;
  private static final int SUPPRESS_GO_AHEAD = 3;
  private static final int COM_PORT = 44;

  /** A server's answer has the request's code and this. */
  private static final int ANSWER = 100;

  private final PortSettings wanted;
  private final ByteArrayOutputStream toSend = new ByteArrayOutputStream();
  private final Set<List<Integer>> answered = new HashSet<>();
  private final List<Message> open = new ArrayList<>();
  private final List<String> refused = new ArrayList<>();
  private boolean speaksTelnet;
  private boolean sendsBinary;
  private boolean receivesBinary;
  private Optional<Boolean> setsPorts = Optional.empty();

  Negotiation(PortSettings wanted) {
    this.wanted = wanted;
    ask(TelnetCodec.WILL, BINARY);
    ask(TelnetCodec.DO, BINARY);
    ask(TelnetCodec.WILL, SUPPRESS_GO_AHEAD);
    ask(TelnetCodec.DO, SUPPRESS_GO_AHEAD);
    ask(TelnetCodec.WILL, COM_PORT);
  }

  private void ask(int verb, int option) {
    answered.add(List.of(verb, option));
    toSend.writeBytes(TelnetCodec.optionCommand(verb, option));
  }

  /** What is to be sent now; gone after the call. */
  byte[] toSend() {
    byte[] bytes = toSend.toByteArray();
    toSend.reset();
    return bytes;
  }

  /** True when nothing more is waited for. */
  boolean isOver() {
    return setsPorts.isPresent() && open.isEmpty();
  }

  /** False when the far end never said a Telnet command: it is to be read as plain bytes. */
  boolean speaksTelnet() {
    return speaksTelnet;
  }

  boolean sendsBinary() {
    return sendsBinary;
  }

  boolean receivesBinary() {
    return receivesBinary;
  }

  /** What is not as it was asked for; empty when all is. */
  Optional<String> trouble() {
    if (!speaksTelnet) {
      return Optional.of(
          "does not speak RFC 2217: it is read as plain bytes, and its port stays as it is set"
              + " there; is the baud rate right?");
    }
    if (!setsPorts.orElse(false)) {
      return Optional.of(
          "speaks Telnet but does not let its port be set (RFC 2217): it stays as it is set there;"
              + " is the baud rate right?");
    }
    String silent =
        open.stream().map(each -> PortSettings.name(each.code())).collect(Collectors.joining(", "));
    return silent.isEmpty()
        ? Optional.empty()
        : Optional.of("does not say whether it has set " + silent + ": are the readings right?");
  }

  /** Settings that the far end has set otherwise; readings would be wrong. */
  List<String> refused() {
    return List.copyOf(refused);
  }

  @Override
  public void option(int verb, int option) {
    boolean asked = option == BINARY || option == SUPPRESS_GO_AHEAD || option == COM_PORT;
    speaksTelnet |= asked;
    switch (verb) {
      case TelnetCodec.DO -> {
        sendsBinary |= option == BINARY;
        answer(asked ? TelnetCodec.WILL : TelnetCodec.WONT, option);
        if (option == COM_PORT && setsPorts.isEmpty()) {
          setsPorts = Optional.of(true);
          set();
        }
      }
      case TelnetCodec.WILL -> {
        receivesBinary |= option == BINARY;
        answer(asked ? TelnetCodec.DO : TelnetCodec.DONT, option);
      }
      case TelnetCodec.DONT -> {
        if (option == COM_PORT && setsPorts.isEmpty()) {
          setsPorts = Optional.of(false);
        }
      }
      default -> {
        // WONT: nothing was built on it.
      }
    }
  }

  /** Each answer once, or two ends could go on answering each other for ever (RFC 854). */
  private void answer(int verb, int option) {
    if (answered.add(List.of(verb, option))) {
      toSend.writeBytes(TelnetCodec.optionCommand(verb, option));
    }
  }

  private void set() {
    open.addAll(wanted.requests());
    open.forEach(this::send);
    wanted.wishes().forEach(this::send);
  }

  private void send(Message message) {
    toSend.writeBytes(TelnetCodec.subnegotiation(COM_PORT, message.content()));
  }

  @Override
  public void subnegotiation(int option, byte[] content) {
    if (option != COM_PORT || content.length < 2) {
      return;
    }
    Message is =
        new Message((content[0] & 0xff) - ANSWER, Arrays.copyOfRange(content, 1, content.length));
    for (Message asked : List.copyOf(open)) {
      if (asked.code() == is.code()) {
        open.remove(asked);
        if (asked.number() != is.number()) {
          refused.add(
              "\""
                  + PortSettings.name(is.code())
                  + "\": asked for "
                  + asked.number()
                  + ", set to "
                  + is.number());
        }
      }
    }
  }
}
