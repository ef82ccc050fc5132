package meniscus.core.lift;

import java.util.Locale;

/** Intake or exhaust. Says nothing of the direction of the test. */
public enum PortKind {
  INTAKE,
  EXHAUST;

  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
