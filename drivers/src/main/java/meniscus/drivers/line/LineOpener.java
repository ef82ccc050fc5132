package meniscus.drivers.line;

/** Opens one and the same line again and again. May remember what it found, to find it again. */
public interface LineOpener {

  /** For people, for example {@code /dev/ttyUSB0, 115200 8N1}. */
  String name();

  /**
   * Opens the line once, with a new handle.
   *
   * @throws LineLost saying why not and what to do
   */
  Line open() throws LineLost;
}
