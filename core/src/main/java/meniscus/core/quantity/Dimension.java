package meniscus.core.quantity;

/** What kind of quantity a number is; each has one SI unit in which the program computes. */
public enum Dimension implements Worded {
  PRESSURE("Pa"),
  TEMPERATURE("K"),
  DENSITY("kg/m3"),
  LENGTH("m"),
  AREA("m2"),
  VOLUME("m3"),
  FORCE("N"),
  STIFFNESS("N/m"),
  VOLUME_FLOW("m3/s"),
  MASS_FLOW("kg/s"),
  VELOCITY("m/s"),
  TIME("s"),
  MASS("kg"),
  ANGLE("rad"),
  RATIO("1");

  private final String siCode;

  Dimension(String siCode) {
    this.siCode = siCode;
  }

  /** UCUM code of the SI unit, for example {@code Pa}. */
  public String siCode() {
    return siCode;
  }
}
