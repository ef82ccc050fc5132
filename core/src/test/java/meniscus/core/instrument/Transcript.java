package meniscus.core.instrument;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.ToIntFunction;
import meniscus.core.time.Moment;

/**
 * What an instrument said and when, and what a decoder makes of it: for drivers' tests. The line is
 * opened at {@link Moment#START}.
 *
 * <p>Text is ISO 8859-1, one byte a character.
 */
public final class Transcript {

  /** Bytes that arrived together. */
  public record Chunk(Moment at, byte[] bytes) {}

  /** A reading that a decoder gave. */
  public record Reading(int channel, double value, Moment moment) {}

  /** The end of a frame that a decoder told. */
  public record Frame(Moment moment) {}

  /** A request that a decoder wanted to be sent. */
  public record Sent(Moment at, Request request) {}

  private final List<Chunk> chunks;

  private Transcript(List<Chunk> chunks) {
    this.chunks = List.copyOf(chunks);
  }

  public static Transcript empty() {
    return new Transcript(List.of());
  }

  /** One chunk that came a second after opening. */
  public static Transcript received(String text) {
    return empty().at(1, text);
  }

  /** This transcript, and then a chunk at a later moment. */
  public Transcript at(double seconds, String text) {
    return at(Moment.ofSeconds(seconds), text.getBytes(StandardCharsets.ISO_8859_1));
  }

  /** This transcript, and then a chunk at a later moment. */
  public Transcript at(Moment moment, byte[] bytes) {
    List<Chunk> longer = new ArrayList<>(chunks);
    longer.add(new Chunk(moment, bytes));
    return new Transcript(longer);
  }

  public List<Chunk> chunks() {
    return chunks;
  }

  /** All bytes in one chunk, at the last moment. */
  public Transcript joined() {
    int length = chunks.stream().mapToInt(chunk -> chunk.bytes().length).sum();
    ByteBuffer all = ByteBuffer.allocate(length);
    chunks.forEach(chunk -> all.put(chunk.bytes()));
    return empty().at(chunks.get(chunks.size() - 1).at(), all.array());
  }

  /** What the decoder says of this, chunk by chunk. */
  public List<Object> play(Decoder decoder) {
    return play(decoder, Integer.MAX_VALUE);
  }

  /** As {@link #play(Decoder)}, each chunk cut into pieces of some bytes. */
  public List<Object> play(Decoder decoder, int pieceLength) {
    return play(decoder, left -> pieceLength);
  }

  /**
   * As {@link #play(Decoder)}, with any cut.
   *
   * @param pieceLength length of the next piece, given the number of bytes left in the chunk
   * @return {@link Reading}, {@link Frame}, {@link Rejected} and {@link Sent}, in order
   */
  public List<Object> play(Decoder decoder, ToIntFunction<Integer> pieceLength) {
    Player player = new Player(decoder);
    player.opened(Moment.START);
    for (Chunk chunk : chunks) {
      player.ticksUntil(chunk.at());
      for (int from = 0; from < chunk.bytes().length; ) {
        int left = chunk.bytes().length - from;
        int piece = Math.max(1, Math.min(left, pieceLength.applyAsInt(left)));
        player.bytes(chunk.at(), Arrays.copyOfRange(chunk.bytes(), from, from + piece));
        from += piece;
      }
    }
    return player.heard;
  }

  /** Plays the host's part towards one decoder, and writes down what comes of it. */
  public static final class Player implements Sink {

    private static final int MOST_TICKS = 100_000;

    private final Decoder decoder;
    private final List<Object> heard = new ArrayList<>();
    private Optional<Moment> wakeAt = Optional.empty();

    public Player(Decoder decoder) {
      this.decoder = decoder;
    }

    /** All that the decoder said so far. */
    public List<Object> heard() {
      return heard;
    }

    public void opened(Moment at) {
      take(at, decoder.opened(at));
    }

    public void lost(Moment at) {
      wakeAt = Optional.empty();
      decoder.lost(at);
    }

    public void bytes(Moment at, byte[] bytes) {
      ByteBuffer buffer = ByteBuffer.wrap(bytes);
      take(at, decoder.bytes(at, buffer, this));
      if (buffer.hasRemaining()) {
        throw new AssertionError("the decoder left " + buffer.remaining() + " bytes in the buffer");
      }
      // Borrowed for the call only: whoever kept it reads nonsense from now on.
      Arrays.fill(bytes, (byte) 0xA5);
    }

    /** Every tick that is due until a moment, at the moment that was asked for. */
    public void ticksUntil(Moment moment) {
      for (int ticks = 0; wakeAt.isPresent() && !wakeAt.get().isAfter(moment); ticks++) {
        if (ticks > MOST_TICKS) {
          throw new AssertionError("the decoder asks for tick after tick without end");
        }
        Moment at = wakeAt.get();
        take(at, decoder.tick(at, this));
      }
    }

    private void take(Moment at, Next next) {
      next.requests().forEach(request -> heard.add(new Sent(at, request)));
      next.wakeAt()
          .filter(wake -> !wake.isAfter(at))
          .ifPresent(
              wake -> {
                throw new AssertionError(
                    "wants to be woken at " + wake + ", which is not after " + at);
              });
      wakeAt = next.wakeAt();
    }

    @Override
    public void reading(int channel, double value, Moment moment) {
      heard.add(new Reading(channel, value, moment));
    }

    @Override
    public void frame(Moment moment) {
      heard.add(new Frame(moment));
    }

    @Override
    public void rejected(Rejected rejected) {
      heard.add(rejected);
    }
  }
}
