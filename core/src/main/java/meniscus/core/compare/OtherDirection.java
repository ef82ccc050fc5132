package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.finding.SignSearch;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;

/**
 * The same change with the air sent the other way, as a control. Air lets go where it must turn,
 * and the other way round it turns elsewhere: a loss that is there in both directions is a
 * section's, one that is there in one alone is the way's. The rule is common practice of the trade,
 * no source.
 *
 * @param control before against after, the other way
 */
record OtherDirection(Comparison control) {

  /**
   * @param before and after the change, in the direction that is asked about
   * @param otherBefore and otherAfter the same port with the air going the other way
   * @throws Refusal when the tests are not of one port, or not of two directions
   */
  static OtherDirection of(
      TestCurve before, TestCurve otherBefore, TestCurve otherAfter, Question question) {
    Plan here = before.plan();
    for (TestCurve test : List.of(otherBefore, otherAfter)) {
      Plan.Part part = test.plan().part();
      if (test.plan().direction() == here.direction()) {
        throw new Refusal(
            "\""
                + test.name()
                + "\" is "
                + here.direction().word()
                + " like the tests it is to be a control for: blow where they suck, or suck where"
                + " they blow");
      }
      if (!part.head().equals(here.part().head()) || !part.port().equals(here.part().port())) {
        throw new Refusal("\"" + test.name() + "\" is of another head or port");
      }
    }
    return new OtherDirection(Comparison.of(List.of(otherBefore), List.of(otherAfter), question));
  }

  /**
   * Tells a search whether what was lost one way is lost the other way too. It is where a loss is
   * claimed at one of the lifts; it is not where at all of them half of what was lost lies outside
   * the 95 % interval; else nothing is said.
   *
   * @param comparison in the direction that is asked about
   */
  void tell(SignSearch search, Comparison comparison) {
    List<Double> compared = new ArrayList<>();
    boolean lostToo = false;
    boolean excluded = true;
    for (double lift : search.lost()) {
      Optional<Difference> here = comparison.at(lift).map(LiftDifference::difference);
      Optional<Difference> other = control.at(lift).map(LiftDifference::difference);
      if (here.isPresent() && other.isPresent()) {
        Difference d = other.get();
        double most = d.relative() - d.estimate().u95() / d.before();
        compared.add(lift);
        lostToo |= d.outcome() == Outcome.LOSS;
        excluded &= d.scatterKnown() && most > here.get().relative() / 2;
      }
    }
    if (!compared.isEmpty() && (lostToo || excluded)) {
      search.otherDirection(compared, lostToo);
    }
  }
}
