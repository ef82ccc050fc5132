package meniscus.recorder.journal;

/**
 * A stretch of a journal that could not be read.
 *
 * @param offset of its first byte
 * @param length in bytes
 * @param reason what was wrong with it
 */
public record Damage(long offset, long length, String reason) {

  /** In words for the operator. */
  public String inWords() {
    return "bytes " + offset + " to " + (offset + length) + ": " + reason;
  }
}
