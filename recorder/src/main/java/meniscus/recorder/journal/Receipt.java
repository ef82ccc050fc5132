package meniscus.recorder.journal;

/**
 * How safe something is that was handed to a journal. Ask again with {@link Journal#ask}: what is
 * not safe yet becomes safe when the disk works again.
 *
 * @param upTo place in the journal where it ends
 * @param safety now
 * @param reason why it is not fully safe; empty when it is
 */
public record Receipt(long upTo, Safety safety, String reason) {

  /** How far the bytes have come. */
  public enum Safety {
    /** Forced, on the mirror as well when there is one. */
    SAFE,
    /** Forced in the test's folder, not on the mirror. */
    WITHOUT_MIRROR,
    /** Not forced yet: a power cut now would lose it. */
    NOT_YET
  }

  /** True when it may be told as kept. */
  public boolean safe() {
    return safety != Safety.NOT_YET;
  }
}
