package meniscus.recorder.file;

/** Something read on a plate, as one line of the file that keeps it until all plates are read. */
public interface KeptLine {

  /** Name of the plate. */
  String plate();

  /** Test pressure that was asked for [Pa]. */
  double askedPa();

  /** Without a line break. */
  String text();
}
