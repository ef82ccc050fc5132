package meniscus.core.steadiness;

import java.util.function.Supplier;
import java.util.function.UnaryOperator;
import meniscus.core.remark.Remark;

/**
 * What a judge says at one moment. How far the average is, and whether its instrument works, is
 * known at once; the rest takes a look at the air, and is worked out when it is first asked for.
 * For one thread.
 */
public final class Judgement {

  private final boolean faulty;
  private final boolean precise;
  private final boolean decided;
  private final Supplier<Judged> whole;
  private Judged judged;

  Judgement(boolean faulty, boolean precise, boolean decided, Supplier<Judged> whole) {
    this.faulty = faulty;
    this.precise = precise;
    this.decided = decided;
    this.whole = whole;
  }

  /** What is known already. */
  public static Judgement of(Judged judged) {
    return new Judgement(
        judged.verdict() == Verdict.FAULTY, judged.precise(), judged.decided(), () -> judged);
  }

  /** The verdict is that the instrument does not work. */
  public boolean faulty() {
    return faulty;
  }

  /** The asked half width is reached. */
  public boolean precise() {
    return precise;
  }

  /** The verdict can be given. */
  public boolean decided() {
    return decided;
  }

  /** The average is as good as asked, and its verdict can be given. */
  public boolean enough() {
    return precise && decided;
  }

  /** All of it. */
  public Judged judged() {
    if (judged == null) {
      judged = whole.get();
    }
    return judged;
  }

  /** The same with its reasons worded for what was judged. */
  public Judgement saying(UnaryOperator<Remark> worded) {
    return new Judgement(faulty, precise, decided, () -> judged().saying(worded));
  }
}
