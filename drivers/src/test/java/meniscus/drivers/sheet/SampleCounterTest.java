package meniscus.drivers.sheet;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;
import meniscus.drivers.binary.PacketStreamDriver;
import meniscus.drivers.hand.ByHandDriver;
import meniscus.drivers.text.TextStreamDriver;
import org.junit.jupiter.api.Test;

/** An instrument that numbers its lines or packets. */
class SampleCounterTest {

  private static final String LINES =
      "{'separator': ',', 'channels': [{'name': 'a', 'unit': 'Pa', 'field': 1},"
          + " {'role': 'counter', 'modulus': 1000, 'field': 2}]}";

  @Test
  void theChannelIsAlwaysCalledTheSame() {
    List<Channel> channels = new TextStreamDriver().channels(sheet(LINES));
    assertEquals(Channel.SAMPLE_INDEX, channels.get(1).name());
  }

  @Test
  void lostLinesAreToldAndTheIndexGoesOnWhereItMust() {
    assertEquals(
        List.of("7.0 @0", "8.0 @1", "2 lost on the way: the count went from 18 to 21", "9.0 @4"),
        read(LINES, "\n7,17\n8,18\n9,21\n"));
  }

  @Test
  void aCounterThatBeginsAtNothingAgainGoesOn() {
    assertEquals(
        List.of(
            "1.0 @0",
            "2.0 @1",
            "3.0 @2",
            "1 lost on the way: the count went from 0 to 2",
            "4.0 @4"),
        read(LINES, "\n1,998\n2,999\n3,0\n4,2\n"));
  }

  @Test
  void aLineThatComesTwiceIsReadOnce() {
    assertEquals(
        List.of("1.0 @0", "came twice: its count is still 5", "2.0 @1"),
        read(LINES, "\n1,5\n1,5\n2,6\n"));
  }

  @Test
  void anInstrumentThatWasResetBeginsANewCount() {
    assertEquals(
        List.of(
            "1.0 @0",
            "2.0 @1",
            "the count went back from 301 to 0: was the instrument reset?",
            "3.0 @0",
            "4.0 @1"),
        read(LINES, "\n1,300\n2,301\n3,0\n4,1\n"));
  }

  @Test
  void whatWasRejectedIsNotToldAsLostOnceMore() {
    assertEquals(
        List.of("1.0 @0", "field 1 is \"x\", which is not a number", "3.0 @2"),
        read(LINES, "\n1,5\nx,6\n3,7\n"));
  }

  @Test
  void aCountThatCannotBeOneIsRejected() {
    assertEquals(
        List.of(
            "its count is no whole number from 0 to 999",
            "its count is no whole number from 0 to 999",
            "3.0 @0"),
        read(LINES, "\n1,1000\n2,5.5\n3,7\n"));
  }

  @Test
  void aCounterOfTicksIsTurnedIntoSamples() {
    String sheet = LINES.replace("1000", "65536, 'step': 16");
    assertEquals(
        List.of("1.0 @0", "2.0 @1", "3 lost on the way: the count went from 8 to 72", "3.0 @5"),
        read(sheet, "\n1,65528\n2,8\n3,72\n"));
  }

  @Test
  void packetsAreNumberedToo() {
    InstrumentSheet sheet =
        SheetJson.sheet(
            "packet-stream",
            "{'framing': 'SLIP', 'length': 2, 'channels': [{'name': 'a', 'unit': 'Pa', 'byte': 1,"
                + " 'type': 'uint8'}, {'role': 'counter', 'modulus': 256, 'byte': 2, 'type':"
                + " 'uint8'}]}");
    String bytes = "\300\1\377\300\2\1\300\3\300\3\3\300\3\3\300";
    assertEquals(
        List.of(
            "1.0 @0",
            "1 lost on the way: the count went from 255 to 1",
            "2.0 @2",
            "1 bytes, should be 2",
            "3.0 @4",
            "came twice: its count is still 3"),
        heard(Transcript.received(bytes).play(new PacketStreamDriver().newDecoder(sheet))));
  }

  /** Against a plain account of which lines were sent and which were dropped. */
  @Test
  void everyLossInALongRunIsCounted() {
    long seed = 41;
    Random random = new Random(seed);
    Transcript sent = Transcript.empty().at(1, "\n");
    List<Long> arrived = new ArrayList<>();
    long lost = 0;
    for (long number = 700; number < 6000; number++) {
      if (arrived.isEmpty() || random.nextInt(10) > 0) {
        arrived.add(number - 700);
        sent = sent.at(2 + number, "5," + number % 1000 + "\n");
      } else {
        lost++;
      }
    }
    lost -= 5299 - arrived.get(arrived.size() - 1);
    List<Object> all = sent.play(new TextStreamDriver().newDecoder(sheet(LINES)), 3);
    List<Long> indices =
        all.stream()
            .filter(one -> one instanceof Transcript.Reading reading && reading.channel() == 1)
            .map(one -> (long) ((Transcript.Reading) one).value())
            .toList();
    assertEquals(arrived, indices, "seed " + seed);
    long told =
        all.stream()
            .filter(Rejected.class::isInstance)
            .mapToLong(one -> Long.parseLong(((Rejected) one).reason().split(" ")[0]))
            .sum();
    assertEquals(lost, told, "seed " + seed);
  }

  @Test
  void aLineOpenedAnewBeginsANewCount() {
    Transcript.Player player =
        new Transcript.Player(new TextStreamDriver().newDecoder(sheet(LINES)));
    player.opened(Moment.START);
    player.bytes(Moment.ofSeconds(1), "\n1,5\n2,6\n".getBytes());
    player.lost(Moment.ofSeconds(2));
    player.opened(Moment.ofSeconds(3));
    player.bytes(Moment.ofSeconds(4), "\n3,400\n".getBytes());
    assertEquals(List.of("1.0 @0", "2.0 @1", "3.0 @0"), heard(player.heard()));
  }

  @Test
  void aRoleThatCannotBeIsRefusedByName() {
    assertRefused("'role': 'count'", "\"role\" must be counter");
    assertRefused("'role': 'counter'", "\"modulus\" is missing");
    assertRefused("'role': 'counter', 'modulus': 2.5", "whole numbers");
    assertRefused("'role': 'counter', 'modulus': 10, 'step': 5", "at most a quarter");
    assertRefused("'role': 'counter', 'modulus': 10, 'name': 'n'", "leave \"name\"");
    assertTrue(
        assertThrows(
                IllegalArgumentException.class,
                () ->
                    new ByHandDriver()
                        .channels(
                            SheetJson.sheet(
                                "by-hand",
                                "{'channels': [{'name': 'a', 'unit': 'Pa', 'role': 'counter'}]}")))
            .getMessage()
            .contains("\"role\""));
  }

  private static void assertRefused(String members, String words) {
    InstrumentSheet sheet = sheet("{'channels': [{" + members + ", 'field': 1}]}");
    String message =
        assertThrows(IllegalArgumentException.class, () -> new TextStreamDriver().channels(sheet))
            .getMessage();
    assertTrue(message.contains(words), message);
  }

  private static InstrumentSheet sheet(String members) {
    return SheetJson.sheet("text-stream", members);
  }

  private static List<String> read(String sheet, String bytes) {
    return heard(
        Transcript.received(bytes).play(new TextStreamDriver().newDecoder(sheet(sheet)), 5));
  }

  /** A frame as "value @index", a reject as its reason. */
  private static List<String> heard(List<Object> all) {
    List<String> heard = new ArrayList<>();
    String value = "";
    for (Object one : all) {
      if (one instanceof Transcript.Reading reading) {
        if (reading.channel() == 0) {
          value = String.valueOf(reading.value());
        } else {
          heard.add(value + " @" + (long) reading.value());
        }
      } else if (one instanceof Rejected rejected) {
        heard.add(rejected.reason());
      }
    }
    return heard;
  }
}
