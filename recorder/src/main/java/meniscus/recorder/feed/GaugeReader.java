package meniscus.recorder.feed;

import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import meniscus.core.instrument.Channel;

/**
 * The person at a bench outside a lift test: is told how it goes, reads the gauges that nobody else
 * reads and types what they show. Where all gauges send by themselves nobody is asked.
 */
public interface GaugeReader {

  /** Takes a complete reading as it stands; what else is typed is readings. */
  String KEEP = "keep";

  /** Leaves out what is to be read. */
  String SKIP = "skip";

  /** Says how it goes. */
  void told(BenchMessage message);

  /**
   * Readings are asked for, or no longer. Called anew when what is still to be typed has changed.
   *
   * @param wish without gauges when nothing is to be read any more
   */
  default void wanted(Wish wish) {
    // Nobody reads here.
  }

  /** The oldest line that was typed and not taken yet; does not wait. */
  default Optional<String> typed() {
    return Optional.empty();
  }

  /** How a reading stands at the moment; called often, on the reading's thread. */
  default void live(Live live) {}

  /**
   * True once the person wants an end; looked at many times a second, so that nobody need be
   * interrupted while a file is written.
   */
  default boolean stopped() {
    return false;
  }

  /**
   * A reading under way.
   *
   * @param askedPa test pressure that is wanted [Pa]; 0 while all is to be at rest
   * @param band how far it may be from that [1]
   * @param pressurePa test pressure now [Pa]; NaN when not known
   * @param dropPa over the flow element now [Pa]; NaN when not known
   * @param stillSeconds how long it has been averaged [s]; 0 while it is not in its band
   * @param longestSeconds when it ends at the latest [s]
   */
  record Live(
      double askedPa,
      double band,
      double pressurePa,
      double dropPa,
      double stillSeconds,
      double longestSeconds) {

    /** True where no pressure is wanted: for a zero, or while a leak lets it fall. */
    public boolean atRest() {
      return askedPa == 0;
    }

    /** True while the test pressure is where it is wanted. */
    public boolean inBand() {
      return atRest() || Math.abs(pressurePa - askedPa) <= band * askedPa;
    }
  }

  /**
   * What is to be read.
   *
   * @param said what was read so far, or why it is to be read anew; empty at the beginning
   * @param next what to type now, or what happens next
   * @param gauges each with whether its reading is still wanted
   * @param keeps true when all is read and waits for {@link #KEEP}
   * @param refusal why a text is no reading of them; from any thread
   */
  record Wish(
      String said,
      String next,
      List<Gauge> gauges,
      boolean keeps,
      Function<String, Optional<String>> refusal) {

    /** Nothing is to be read. */
    public static final Wish NOTHING =
        new Wish("", "", List.of(), false, text -> Optional.of("nothing is to be read now"));

    public Wish {
      gauges = List.copyOf(gauges);
    }
  }

  /**
   * A gauge that is read by eye.
   *
   * @param channel as it is named when its reading is typed, and its unit
   * @param wanted true while its reading is to be typed
   */
  record Gauge(Channel channel, boolean wanted) {}
}
