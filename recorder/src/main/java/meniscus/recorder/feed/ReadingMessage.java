package meniscus.recorder.feed;

import java.util.List;
import java.util.function.Function;
import java.util.stream.Collectors;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.BreakOff;
import meniscus.core.pipeline.MessageWords;
import meniscus.core.quantity.Text;

/** How a reading of gauges goes outside a lift test, for the person at the bench. */
public sealed interface ReadingMessage extends BenchMessage {

  /** Columns are to be read at rest. */
  record AtRest() implements ReadingMessage {}

  /** The barometer is to be read. */
  record Barometer() implements ReadingMessage {}

  /** A column falls and is watched for so long [s]. */
  record Falls(double seconds) implements ReadingMessage {}

  /** Nothing was heard of the room's air, so nothing can be taken. */
  record AirUnread() implements ReadingMessage {}

  /** Averaging begins anew. */
  record Anew(BreakOff why) implements ReadingMessage {}

  /** Not all is typed; these gauges are wanted. */
  record Incomplete(List<Channel> wanted) implements ReadingMessage {}

  /** What was typed is no reading: why, as its instrument says. */
  record NotTaken(String why) implements ReadingMessage {}

  /** One of these for each of the above, in that order. */
  default <T> T fold(
      Function<AtRest, T> atRest,
      Function<Barometer, T> barometer,
      Function<Falls, T> falls,
      Function<AirUnread, T> airUnread,
      Function<Anew, T> anew,
      Function<Incomplete, T> incomplete,
      Function<NotTaken, T> notTaken) {
    if (this instanceof AtRest it) {
      return atRest.apply(it);
    }
    if (this instanceof Barometer it) {
      return barometer.apply(it);
    }
    if (this instanceof Falls it) {
      return falls.apply(it);
    }
    if (this instanceof AirUnread it) {
      return airUnread.apply(it);
    }
    if (this instanceof Anew it) {
      return anew.apply(it);
    }
    return this instanceof Incomplete it ? incomplete.apply(it) : notTaken.apply((NotTaken) this);
  }

  @Override
  default String sentence() {
    return fold(
        atRest ->
            "Blower off, hoses on. Wait until the columns stand still, and set each scale to zero"
                + " if it can be set",
        barometer -> "Read the barometer",
        falls ->
            Text.of(
                "watch the column fall for %.0f s: type the mark that it comes to next, and press"
                    + " Enter the moment it passes; ten marks or more, a few seconds apart, do"
                    + " well",
                falls.seconds()),
        airUnread -> "the room's air was not read yet: see that its station sends, then keep",
        anew -> "averaging begins anew: " + MessageWords.why(anew.why()),
        incomplete -> "nothing to keep yet; " + stillWanted(incomplete.wanted()),
        NotTaken::why);
  }

  /** What is still to be typed. */
  static String stillWanted(List<Channel> channels) {
    return "still to be typed: " + named(channels);
  }

  /** {@code drop in Pa and lift in mm}. */
  static String named(List<Channel> channels) {
    return channels.stream()
        .map(channel -> channel.name() + " in " + channel.unit().symbol())
        .collect(Collectors.joining(" and "));
  }
}
