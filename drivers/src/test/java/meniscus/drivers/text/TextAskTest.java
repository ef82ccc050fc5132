package meniscus.drivers.text;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.SheetJson;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Questions, answers, and answers that come late or never. */
class TextAskTest {

  private static final String TWO_QUESTIONS =
      "{'every_s': 1, 'timeout_s': 0.2, 'retries': 1, 'pause_s': 0.05, 'command_end': '\\r',"
          + " 'asks': ["
          + "{'command': 'P', 'channels': [{'name': 'p', 'unit': 'Pa', 'field': 1}]},"
          + "{'command': 'T', 'channels': [{'name': 't', 'unit': 'degC', 'field': 1}]}]}";

  @Test
  void aRoundIsAskedOncePerSecondWithAPauseBetweenQuestions() {
    Instrument it = new Instrument(TWO_QUESTIONS);
    it.says(0.01, "1\n");
    it.says(0.08, "2\n");
    it.says(1.01, "3\n");
    it.says(1.07, "4\n");
    assertEquals(
        List.of(
            "0.000 > P\\r",
            "0.010 0=1.0 ;",
            "0.060 > T\\r",
            "0.080 1=2.0 ;",
            "1.000 > P\\r",
            "1.010 0=3.0 ;",
            "1.060 > T\\r",
            "1.070 1=4.0 ;"),
        it.heard());
  }

  @Test
  void aMissingAnswerIsAskedForAgainAfterASilenceAndThenGivenUp() {
    Instrument it = new Instrument(TWO_QUESTIONS);
    it.waits(0.99);
    assertEquals(
        List.of(
            "0.000 > P\\r",
            "0.400 > P\\r",
            "0.600 rejected : no answer to \"P\" within 0.2 s, asked 2 times",
            "0.800 > T\\r"),
        it.heard());
  }

  @Test
  void aQuestionThatIsNeverAskedAgainWasAskedOnce() {
    Instrument it = new Instrument(TWO_QUESTIONS.replace("'retries': 1", "'retries': 0"));
    it.waits(0.35);
    assertEquals(
        List.of("0.000 > P\\r", "0.200 rejected : no answer to \"P\" within 0.2 s, asked once"),
        it.heard());
  }

  @Test
  void aLateAnswerIsNotTakenForThatOfTheNextQuestion() {
    Instrument it = new Instrument(TWO_QUESTIONS);
    it.says(0.25, "1\n");
    it.waits(0.5);
    it.says(0.51, "11\n");
    it.says(0.62, "2\n");
    assertEquals(
        List.of(
            "0.000 > P\\r",
            "0.250 rejected 1: nobody asked for this; a late answer?",
            "0.450 > P\\r",
            "0.510 0=11.0 ;",
            "0.560 > T\\r",
            "0.620 1=2.0 ;"),
        it.heard());
  }

  @Test
  void whatComesInTheSameChunkAsTheAnswerCannotAnswerTheNextQuestion() {
    Instrument it = new Instrument(TWO_QUESTIONS.replace("0.05", "0"));
    it.says(0.01, "1\n99\n");
    it.waits(0.3);
    assertEquals(
        List.of(
            "0.000 > P\\r",
            "0.010 0=1.0 ;",
            "0.010 rejected 99: nobody asked for this; a late answer?",
            "0.210 > T\\r"),
        it.heard());
  }

  @Test
  void anInstrumentThatChattersIsStillAsked() {
    Instrument it = new Instrument(TWO_QUESTIONS.replace("'pause_s': 0.05", "'pause_s': 1"));
    it.says(0.01, "1\n");
    for (double at = 0.1; at < 3; at += 0.05) {
      it.says(at, "chatter\n");
    }
    assertTrue(it.heard().stream().anyMatch(line -> line.endsWith("> T\\r")), it.heard()::toString);
  }

  @Test
  void halfALineBeforeTheQuestionIsNoPartOfItsAnswer() {
    Instrument it = new Instrument(TWO_QUESTIONS);
    it.says(0.01, "1\n12");
    it.says(0.07, "3\n");
    it.says(0.08, "4\n");
    assertEquals(
        List.of("0.000 > P\\r", "0.010 0=1.0 ;", "0.060 > T\\r", "0.080 1=4.0 ;"), it.heard());
  }

  @Test
  void commandsAtTheBeginningAreSentOnceAndWhatTheyAnswerIsPassedOver() {
    Instrument it =
        new Instrument(TWO_QUESTIONS.replace("'asks'", "'begin': ['RATE 1', 'UNIT PA'], 'asks'"));
    it.says(0.01, "OK\n");
    it.says(0.11, "7\n");
    assertEquals(
        List.of("0.000 > RATE 1\\r", "0.050 > UNIT PA\\r", "0.100 > P\\r", "0.110 0=7.0 ;"),
        it.heard());
    it.reopened(2);
    assertEquals("2.000 > RATE 1\\r", it.heard().get(4));
  }

  @Test
  void anEchoIsPassedOver() {
    Instrument it = new Instrument(TWO_QUESTIONS.replace("'asks'", "'echo': true, 'asks'"));
    it.says(0.01, "P\r\n1\r\n");
    assertEquals(List.of("0.000 > P\\r", "0.010 0=1.0 ;"), it.heard());
  }

  @Test
  void aLostLineIsNotAskedUntilItIsOpenedAgain() {
    Instrument it = new Instrument(TWO_QUESTIONS);
    it.lost(0.1);
    it.waits(5);
    assertEquals(List.of("0.000 > P\\r"), it.heard());
  }

  @Test
  void aRoundThatTookTooLongLeavesOutTheBeatsItMissed() {
    Instrument it = new Instrument(TWO_QUESTIONS.replace("'timeout_s': 0.2", "'timeout_s': 5"));
    it.says(2.3, "1\n");
    it.says(2.4, "2\n");
    it.waits(3.0);
    assertEquals("3.000 > P\\r", it.heard().get(it.heard().size() - 1));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{}|\"asks\" must hold at least one question",
        "{'asks': [{'channels': []}]}|\"command\" is missing",
        "{'timeout_s': 99, 'asks': [{'command': 'P', 'channels': [{'name': 'p', 'unit': 'Pa', 'field': 1}]}]}|from 0.01 to 60.0 seconds",
        "{'asks': [{'command': 'P', 'channels': [{'name': 'p', 'unit': 'Pa', 'field': 1}]}, {'command': 'Q', 'channels': [{'name': 'p', 'unit': 'Pa', 'field': 1}]}]}|\"p\" is named twice",
      })
  void aSheetThatDoesNotFitSaysWhy(String members, String message) {
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class,
            () -> new TextAskDriver().channels(SheetJson.sheet("text-ask", members)));
    assertTrue(refused.getMessage().contains(message), refused::getMessage);
  }

  /** An instrument that says things at moments [s]. */
  private static final class Instrument {
    private final Transcript.Player player;

    Instrument(String members) {
      InstrumentSheet sheet = SheetJson.sheet("text-ask", members);
      player = new Transcript.Player(new TextAskDriver().newDecoder(sheet));
      player.opened(Moment.START);
    }

    void says(double at, String text) {
      waits(at);
      player.bytes(Moment.ofSeconds(at), text.getBytes(StandardCharsets.ISO_8859_1));
    }

    void waits(double until) {
      player.ticksUntil(Moment.ofSeconds(until));
    }

    void lost(double at) {
      player.lost(Moment.ofSeconds(at));
    }

    void reopened(double at) {
      lost(at);
      player.opened(Moment.ofSeconds(at));
    }

    List<String> heard() {
      List<String> lines = new ArrayList<>();
      String readings = "";
      for (Object thing : player.heard()) {
        if (thing instanceof Transcript.Reading reading) {
          readings += reading.channel() + "=" + reading.value() + " ";
        } else if (thing instanceof Transcript.Frame frame) {
          lines.add(at(frame.moment()) + readings + ";");
          readings = "";
        } else if (thing instanceof Rejected rejected) {
          lines.add(at(rejected.at()) + "rejected " + rejected.bytes() + ": " + rejected.reason());
        } else if (thing instanceof Transcript.Sent sent) {
          lines.add(at(sent.at()) + "> " + sent.request());
        }
      }
      return lines;
    }

    private static String at(Moment moment) {
      return String.format(Locale.ROOT, "%.3f ", moment.seconds());
    }
  }
}
