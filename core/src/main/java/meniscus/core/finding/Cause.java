package meniscus.core.finding;

import static meniscus.core.finding.Cause.Answer.NO;
import static meniscus.core.finding.Cause.Answer.OPEN;
import static meniscus.core.finding.Cause.Answer.YES;

import java.util.List;
import java.util.Map;
import java.util.stream.Stream;

/**
 * What can take flow at high lift, and what each of them would show elsewhere.
 *
 * <p>Common practice and plain mechanics, no source: only where a cause must show something, or
 * cannot show it, does it say so; the rest is left open. So data speak against a cause, never for
 * one alone. Rough air speaks against none: a choke may have a rough wake, and a short side may
 * flutter faster than a gauge shows.
 */
public enum Cause {
  SHORT_SIDE(
      "the short side",
      "sets in at some lift and grows with lift; the coefficient falls beyond an air speed, unless"
          + " the air has left a sharp edge at every speed; not seen blowing; often rough or jumping"
          + " air, unless it flutters faster than the gauge shows",
      Map.of(Trait.FALLS_WITH_PRESSURE, YES, Trait.BLOWING_TOO, NO)),
  CHOKE(
      "a choke further on",
      "grows evenly with the flow; the same at every test pressure but for what compressibility"
          + " does; blowing as well; the air as calm as before, unless its wake is rough",
      Map.of(Trait.FALLS_WITH_PRESSURE, NO, Trait.BLOWING_TOO, YES, Trait.CLOSING_DIFFERS, NO)),
  SHROUDING(
      "shrouding of the valve",
      "follows the lift; the same at every test pressure and on the way down",
      Map.of(Trait.FALLS_WITH_PRESSURE, NO, Trait.CLOSING_DIFFERS, NO)),
  ADAPTER_EDGE(
      "the bore adapter's edge",
      "moves when the head is shifted on the adapter; the same at every test pressure",
      Map.of(Trait.FALLS_WITH_PRESSURE, NO, Trait.CLOSING_DIFFERS, NO)),
  VALVE_NOT_RIGID(
      "a valve that gives under the test pressure",
      "grows with the test pressure; the other way blowing; gone with a stiffer checking spring",
      Map.of(Trait.BLOWING_TOO, NO, Trait.SPRING_OVERCOME, YES));

  /** Something that can be looked at. */
  public enum Trait {
    FALLS_WITH_PRESSURE(
        "the coefficient falls with the test pressure",
        "the coefficient does not fall with the test pressure"),
    BLOWING_TOO(
        "it shows with the air going the other way too",
        "it does not show with the air going the other way"),
    CLOSING_DIFFERS("closing differs from opening", "closing agrees with opening"),
    SPRING_OVERCOME(
        "the test pressure overcomes the checking spring",
        "the checking spring holds against the test pressure");

    private final String yes;
    private final String no;

    Trait(String yes, String no) {
      this.yes = yes;
      this.no = no;
    }
  }

  /** What was seen, or must be. */
  public enum Answer {
    YES,
    NO,
    OPEN
  }

  private final String word;
  private final String predicts;
  private final Map<Trait, Answer> must;

  Cause(String word, String predicts, Map<Trait, Answer> must) {
    this.word = word;
    this.predicts = predicts;
    this.must = must;
  }

  /** For people: {@code a choke further on}. */
  public String word() {
    return word;
  }

  /** What was seen that this cause cannot do. */
  public List<Trait> spokenAgainstBy(Map<Trait, Answer> seen) {
    return Stream.of(Trait.values())
        .filter(trait -> answer(seen, trait) != OPEN && answer(must, trait) != OPEN)
        .filter(trait -> answer(seen, trait) != answer(must, trait))
        .toList();
  }

  /** All causes beside each other, one line each. */
  static List<String> table(Map<Trait, Answer> seen) {
    return Stream.of(values()).map(cause -> cause.line(seen)).toList();
  }

  private String line(Map<Trait, Answer> seen) {
    List<String> against =
        spokenAgainstBy(seen).stream()
            .map(trait -> answer(seen, trait) == YES ? trait.yes : trait.no)
            .toList();
    return word
        + " ("
        + predicts
        + "): "
        + (against.isEmpty() ? "possible" : "spoken against: " + String.join("; ", against));
  }

  private static Answer answer(Map<Trait, Answer> answers, Trait trait) {
    return answers.getOrDefault(trait, OPEN);
  }
}
