package meniscus.core.pipeline;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;

/** Messages are kinds with numbers; here alone they become sentences, in the operator's units. */
class MessageWordsTest {

  private static final Plan METRIC = HandFedBench.withoutDial(true, plan -> plan).plan;
  private static final Plan INCH =
      new Plan(
          METRIC.subject(),
          METRIC.setUp(),
          METRIC.aim(),
          METRIC.ladder(),
          METRIC.keeping(),
          METRIC.range(),
          new Plan.Shown(
              new Plan.Units(Unit.INCH_LENGTH, Unit.CUBIC_FOOT_PER_MINUTE, Unit.INCH_OF_WATER),
              METRIC.reference()));

  @Test
  void everyMessageHasItsSentence() {
    Set<Class<?>> messages =
        Arrays.stream(OperatorMessage.class.getPermittedSubclasses()).collect(Collectors.toSet());

    assertEquals(messages, new MessageWords(METRIC).worded());
  }

  @Test
  void everyMessageIsOfOneKind() {
    assertEquals(OperatorMessage.Kind.COMPLETE, new OperatorMessage.Complete().kind());
    assertEquals(OperatorMessage.Kind.REFUSED, new OperatorMessage.SeatUnseen(true).kind());
    List<Class<?>> kinds =
        Arrays.stream(OperatorMessage.Kind.values())
            .flatMap(kind -> kind.messages().stream())
            .collect(Collectors.toList());

    assertEquals(kinds.size(), Set.copyOf(kinds).size(), "none is of two kinds");
    assertEquals(
        Set.of(OperatorMessage.class.getPermittedSubclasses()), Set.copyOf(kinds), "nor of none");
  }

  @Test
  void everyRefusalSaysWhy() {
    MessageWords words = new MessageWords(METRIC);
    Set<String> sentences =
        Arrays.stream(OperatorMessage.Refused.Why.values())
            .map(why -> words.sentence(new OperatorMessage.Refused(why)))
            .collect(Collectors.toSet());

    assertEquals(OperatorMessage.Refused.Why.values().length, sentences.size());
  }

  @Test
  void numbersAreInTheUnitsTheOperatorChose() {
    OperatorMessage suspected = new OperatorMessage.Suspected(0.0127, 60);

    assertEquals(
        "the flow falls or jumps at 12.70 mm: \"confirm 12.70 mm\" sweeps the test pressure there"
            + " while the head is on the bench (about 8 min); \"skip\" or 60 s of waiting leave it"
            + " out",
        new MessageWords(METRIC).sentence(suspected));
    assertEquals(
        "the flow falls or jumps at 0.500 in: \"confirm 0.500 in\" sweeps the test pressure there"
            + " while the head is on the bench (about 8 min); \"skip\" or 60 s of waiting leave it"
            + " out",
        new MessageWords(INCH).sentence(suspected));
  }

  @Test
  void troubleIsSaidAsTheDiskSaysIt() {
    MessageWords words = new MessageWords(METRIC);

    assertEquals(
        "the disk is full; until then the test goes on in memory",
        words.sentence(new OperatorMessage.DiskFails("the disk is full")));
    assertEquals(
        "the mirror works again: it holds all that the test folder holds",
        words.sentence(new OperatorMessage.Mirror(Optional.empty())));
    assertEquals(
        "the test is whole in its own folder, but its journal on the mirror could not be named"
            + " finished (the disk is read only): take that journal away before the mirror serves"
            + " another test",
        words.sentence(new OperatorMessage.MirrorUnfinished("the disk is read only")));
    assertEquals(
        "the calm record is left out, so averages take longer: its longest run for range A on"
            + " blowing is 20 s, and gauges that read so seldom need 41 s; take it again with calm"
            + " and longer --seconds",
        words.sentence(new OperatorMessage.CalmLeftOut("A", Direction.BLOWING, 20, 41)));
  }
}
