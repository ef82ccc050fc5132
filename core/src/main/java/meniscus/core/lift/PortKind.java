package meniscus.core.lift;

import meniscus.core.quantity.Coded;

/** Intake or exhaust. Says nothing of the direction of the test. */
public enum PortKind implements Coded {
  INTAKE,
  EXHAUST;
}
