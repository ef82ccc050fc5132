package meniscus.recorder.feed;

/** The person at the bench leaves this reading out. */
public final class LeftOut extends IllegalArgumentException {

  private static final long serialVersionUID = 1L;

  LeftOut() {
    super("left out by the operator");
  }
}
