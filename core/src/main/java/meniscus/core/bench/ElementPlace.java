package meniscus.core.bench;

import meniscus.core.quantity.Worded;

/** Where the flow element stands in the bench; decides what air it sees. */
public enum ElementPlace implements Worded {
  /** Between plenum and blower: sees thinned air on suction, motor-heated air on blowing. */
  BLOWER_SIDE,
  /** On the room's side of the head: sees room air on suction. */
  ROOM_SIDE;
}
