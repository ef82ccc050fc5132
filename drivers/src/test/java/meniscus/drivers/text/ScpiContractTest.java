package meniscus.drivers.text;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.SheetJson;
import org.junit.jupiter.api.Test;

class ScpiContractTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new ScpiDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return SheetJson.sheet(
        "scpi",
        "{'identity': 'BENCH-METER', 'command_end': '\\n', 'begin': ['CONF:VOLT:DC 10'],"
            + "'every_s': 1, 'timeout_s': 0.2, 'retries': 0, 'asks': [{'command': 'READ?',"
            + "'channels': [{'name': 'p', 'unit': 'kPa', 'field': 1, 'scale': 2}]}]}");
  }

  @Override
  protected Transcript transcript() {
    return Transcript.empty()
        .at(0.01, "NOWHERE,BENCH-METER,0,1.0\n")
        .at(0.02, "-113,\"Undefined header\"\n")
        .at(0.03, "+0,\"No error\"\n")
        .at(0.04, "+1.25000E+00\n")
        .at(1.04, "9.90000000E+37\n")
        .at(2.04, "-1.0\n");
  }

  @Test
  void identitySetUpErrorsAndThenReadings() {
    assertEquals(
        List.of(
            "> *IDN?\\n",
            "> CONF:VOLT:DC 10\\n",
            "> SYST:ERR?\\n",
            "-113,\"Undefined header\": the instrument reports an error",
            "> SYST:ERR?\\n",
            "> READ?\\n",
            "0=2.5",
            "> READ?\\n",
            "0=NaN",
            "> READ?\\n",
            "0=-2.0"),
        words(transcript().play(new ScpiDriver().newDecoder(sheet()))));
  }

  @Test
  void anotherInstrumentIsNotReadButAskedAgainWhoItIs() {
    Transcript.Player player = player();
    says(player, 0.01, "NOWHERE,SUPPLY,0,1.0\n");
    player.ticksUntil(Moment.ofSeconds(0.25));
    List<String> words = words(player.heard());
    assertTrue(words.get(1).contains("not the instrument of the sheet"), words::toString);
    assertEquals("> *IDN?\\n", words.get(2));
  }

  @Test
  void anUnansweredQuestionIsFollowedByALookAtTheErrorQueue() {
    Transcript.Player player = player();
    says(player, 0.01, "NOWHERE,BENCH-METER,0,1.0\n");
    says(player, 0.02, "0,\"No error\"\n");
    player.ticksUntil(Moment.ofSeconds(0.5));
    says(player, 0.51, "-420,\"Query UNTERMINATED\"\n");
    says(player, 0.52, "0,\"No error\"\n");
    List<String> words = words(player.heard());
    assertEquals(
        List.of(
            "> READ?\\n",
            ": no answer to \"READ?\" within 0.2 s, asked once",
            "> SYST:ERR?\\n",
            "-420,\"Query UNTERMINATED\": the instrument reports an error",
            "> SYST:ERR?\\n",
            "> READ?\\n"),
        words.subList(3, words.size()));
  }

  private Transcript.Player player() {
    Transcript.Player player = new Transcript.Player(new ScpiDriver().newDecoder(sheet()));
    player.opened(Moment.START);
    return player;
  }

  private static void says(Transcript.Player player, double at, String text) {
    player.ticksUntil(Moment.ofSeconds(at));
    player.bytes(Moment.ofSeconds(at), text.getBytes(StandardCharsets.US_ASCII));
  }

  private static List<String> words(List<Object> heard) {
    return heard.stream()
        .filter(thing -> !(thing instanceof Transcript.Frame))
        .map(ScpiContractTest::word)
        .toList();
  }

  private static String word(Object thing) {
    if (thing instanceof Transcript.Reading reading) {
      return String.format(Locale.ROOT, "%d=%s", reading.channel(), reading.value());
    }
    if (thing instanceof Rejected rejected) {
      return rejected.bytes() + ": " + rejected.reason();
    }
    return "> " + ((Transcript.Sent) thing).request();
  }
}
