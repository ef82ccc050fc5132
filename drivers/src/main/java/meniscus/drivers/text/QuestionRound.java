package meniscus.drivers.text;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Request;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.ask.Pace;
import meniscus.drivers.sheet.SheetChannel;

/**
 * What is asked, and how fast.
 *
 * @param begin commands sent once after opening, without an answer
 * @param asks questions of one round, in order
 * @param commandEnd what is sent after each command
 * @param pace how fast
 * @param echo whether the instrument sends each command back before its answer
 */
record QuestionRound(List<Ask> begin, List<Ask> asks, String commandEnd, Pace pace, boolean echo) {

  static QuestionRound of(Settings settings) {
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
      throw new Refusal(settings.where() + ": \"asks\" must hold at least one question");
    }
    QuestionRound asking =
        new QuestionRound(begin, asks, end, Pace.of(settings), settings.yes("echo", false));
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
}
