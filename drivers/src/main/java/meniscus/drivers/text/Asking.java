package meniscus.drivers.text;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Request;
import meniscus.core.instrument.Settings;
import meniscus.drivers.sheet.SheetChannel;

/**
 * What is asked, and how fast.
 *
 * @param begin commands sent once after opening, without an answer
 * @param asks questions of one round, in order
 * @param everyS from the beginning of one round to that of the next [s]
 * @param pauseS from an answer to the next question [s]
 * @param timeoutS how long an answer is awaited [s]
 * @param retries how often a question is asked again
 * @param echo whether the instrument sends each command back before its answer
 */
record Asking(
    List<Ask> begin,
    List<Ask> asks,
    double everyS,
    double pauseS,
    double timeoutS,
    int retries,
    boolean echo) {

  static Asking of(Settings settings) {
    String end = settings.text("command_end", "\r\n");
    List<Ask> begin = new ArrayList<>();
    for (String command : settings.texts("begin")) {
      begin.add(ask(command, end, Optional.empty(), 0));
    }
    List<Ask> asks = new ArrayList<>();
    int channels = 0;
    for (Settings one : settings.list("asks")) {
      String command = one.text("command");
      LineGrammar grammar = LineGrammar.of(one);
      one.done();
      asks.add(ask(command, end, Optional.of(grammar), channels));
      channels += grammar.channels().size();
    }
    if (asks.isEmpty()) {
      throw new IllegalArgumentException(
          settings.where() + ": \"asks\" must hold at least one question");
    }
    Asking asking =
        new Asking(
            begin,
            asks,
            seconds(settings, "every_s", 1, 0, 3600),
            seconds(settings, "pause_s", 0, 0, 60),
            seconds(settings, "timeout_s", 1, 0.01, 60),
            settings.whole("retries", 2, 0, 100),
            settings.yes("echo", false));
    SheetChannel.each(settings.where(), asking.channels());
    return asking;
  }

  List<Channel> channels() {
    return asks.stream()
        .flatMap(ask -> ask.grammar().stream())
        .flatMap(grammar -> grammar.channelList().stream())
        .toList();
  }

  private static Ask ask(String command, String end, Optional<LineGrammar> grammar, int first) {
    return new Ask(SheetText.bytes(command), Request.ofText(command + end), grammar, first);
  }

  private static double seconds(
      Settings settings, String name, double otherwise, double least, double most) {
    double seconds = settings.number(name, otherwise);
    if (!(seconds >= least && seconds <= most)) {
      throw new IllegalArgumentException(
          settings.where()
              + ", \""
              + name
              + "\" must be from "
              + least
              + " to "
              + most
              + " seconds, was "
              + seconds);
    }
    return seconds;
  }
}
