package meniscus.core.bench;

/** Where the flow element stands in the bench; decides what air it sees. */
public enum ElementPlace {
  /** Between plenum and blower: sees thinned air on suction, motor-heated air on blowing. */
  BLOWER_SIDE("blower side"),
  /** On the room's side of the head: sees room air on suction. */
  ROOM_SIDE("room side");

  private final String word;

  ElementPlace(String word) {
    this.word = word;
  }

  public String word() {
    return word;
  }
}
