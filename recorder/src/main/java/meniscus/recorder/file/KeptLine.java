package meniscus.recorder.file;

/** Something read on a plate, as one line of the file that keeps it until all plates are read. */
public interface KeptLine {

  /** Name of the plate. */
  String plate();

  /** How often the plate had been mounted in its run, this time counted: 1 or 2. */
  default int visit() {
    return 1;
  }

  /** Test pressure that was asked for [Pa]. */
  double askedPa();

  /** Without a line break. */
  String text();
}
