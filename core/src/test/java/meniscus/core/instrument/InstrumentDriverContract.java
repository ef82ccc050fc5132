package meniscus.core.instrument;

import static org.junit.jupiter.api.Assertions.assertAll;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.lang.reflect.Modifier;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.ServiceLoader;
import java.util.Set;
import java.util.stream.Collectors;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;

/**
 * What every driver must keep to. A driver's test extends this class and gives three things: the
 * driver, a sheet, and a transcript that holds at least three frames and, for a driver that asks,
 * the answers to its questions.
 *
 * <pre>{@code
 * class MyDriverContractTest extends InstrumentDriverContract {
 *   protected InstrumentDriver driver() { return new MyDriver(); }
 *   protected InstrumentSheet sheet() { return new InstrumentSheet("gauge", "my-driver", settings); }
 *   protected Transcript transcript() { return Transcript.received("1.0\r\n2.0\r\n3.0\r\n"); }
 * }
 * }</pre>
 */
public abstract class InstrumentDriverContract {

  private static final long SEED = 20_261_125;
  private static final int GARBAGE_CHUNKS = 2_000;

  /** More with {@code -Dtest.jvm="-Xmx1g -Dmeniscus.frames=1000000"}. */
  private static final int MUTATED_FRAMES = Integer.getInteger("meniscus.frames", 5_000);

  protected abstract InstrumentDriver driver();

  /** A sheet that the driver reads. */
  protected abstract InstrumentSheet sheet();

  /** What the instrument of that sheet says. */
  protected abstract Transcript transcript();

  /** Where the driver must be found; by default as the program looks for it. */
  protected Iterable<InstrumentDriver> discovered() {
    return ServiceLoader.load(InstrumentDriver.class);
  }

  @Test
  void isFoundByTheProgram() {
    Set<Class<?>> found = new HashSet<>();
    discovered().forEach(driver -> found.add(driver.getClass()));
    assertTrue(
        found.contains(driver().getClass()),
        () ->
            driver().getClass().getName()
                + " is not named in META-INF/services/"
                + InstrumentDriver.class.getName());
    assertTrue(Modifier.isFinal(driver().getClass().getModifiers()), "the driver must be final");
  }

  @Test
  void hasAnIdASummaryAndAVersionThatFit() {
    assertTrue(
        driver().id().matches("[a-z][a-z0-9]*(-[a-z0-9]+)*"),
        () -> "id \"" + driver().id() + "\": lower-case words joined by hyphens");
    assertTrue(driver().summary().matches("\\S[^\\r\\n]{4,100}"), "the summary is one line");
    assertTrue(
        driver().apiVersion() >= 1 && driver().apiVersion() <= InstrumentDriver.API_VERSION,
        "no such version of the door");
    assertEquals(driver().id(), sheet().driver(), "the sheet is for another driver");
  }

  @Test
  void namesEachChannelOnceAndAlwaysTheSame() {
    List<Channel> channels = driver().channels(sheet());
    Set<String> names = channels.stream().map(Channel::name).collect(Collectors.toSet());
    assertFalse(channels.isEmpty(), "no channels");
    assertEquals(channels.size(), names.size(), "a channel is named twice");
    assertEquals(channels, driver().channels(sheet()), "other channels at the second call");
  }

  @Test
  void readsItsTranscriptAndUsesOnlyItsOwnChannels() {
    List<Object> heard = play();
    long frames = heard.stream().filter(Transcript.Frame.class::isInstance).count();
    assertTrue(frames >= 3, () -> "fewer than three frames: " + heard);
    int channels = driver().channels(sheet()).size();
    Moment before = Moment.START;
    boolean readingsOpen = false;
    Set<Moment> moments =
        transcript().chunks().stream().map(Transcript.Chunk::at).collect(Collectors.toSet());
    for (Object thing : heard) {
      if (thing instanceof Transcript.Reading reading) {
        assertTrue(reading.channel() >= 0 && reading.channel() < channels, "channel " + reading);
        assertFalse(Double.isInfinite(reading.value()), "infinite: " + reading);
        assertTrue(moments.contains(reading.moment()), "not the moment of a chunk: " + reading);
        assertFalse(before.isAfter(reading.moment()), "moments fall at " + reading);
        before = reading.moment();
        readingsOpen = true;
      } else if (thing instanceof Transcript.Frame frame) {
        assertTrue(readingsOpen, "a frame without readings at " + frame.moment());
        readingsOpen = false;
      }
    }
    assertFalse(readingsOpen, "the last readings are not followed by frame()");
  }

  @Test
  void givesTheSameWhateverTheCut() {
    List<Object> whole = play();
    for (int length = 1; length <= 40; length++) {
      assertEquals(whole, transcript().play(decoder(), length), "pieces of " + length + " bytes");
    }
    Random random = new Random(SEED);
    for (int run = 0; run < 50; run++) {
      assertEquals(
          whole,
          transcript().play(decoder(), left -> 1 + random.nextInt(left)),
          "random cut " + run + ", seed " + SEED);
    }
    boolean asks = whole.stream().anyMatch(Transcript.Sent.class::isInstance);
    if (!asks) {
      assertEquals(
          withoutMoments(whole),
          withoutMoments(transcript().joined().play(decoder())),
          "all in one chunk");
    }
  }

  @Test
  void twoLinesOfOneDriverHaveNothingInCommon() {
    List<Object> expected = play();
    InstrumentDriver driver = driver();
    Transcript.Player other = new Transcript.Player(driver.newDecoder(sheet()));
    other.opened(Moment.ofSeconds(-1));
    byte[] first = transcript().chunks().get(0).bytes();
    other.bytes(Moment.ofSeconds(-0.9), Arrays.copyOf(first, (first.length + 1) / 2));
    assertEquals(expected, play(driver.newDecoder(sheet())), "beside another line in mid-frame");
  }

  @Test
  void dropsHalfAFrameWhenTheLineIsLost() {
    List<Object> expected = play();
    Transcript.Chunk first = transcript().chunks().get(0);
    for (int half = 1; half < Math.min(first.bytes().length, 60); half++) {
      Decoder decoder = decoder();
      Transcript.Player player = new Transcript.Player(decoder);
      player.opened(Moment.ofSeconds(-1));
      player.ticksUntil(Moment.ofSeconds(-0.99));
      player.bytes(Moment.ofSeconds(-0.98), Arrays.copyOf(first.bytes(), half));
      player.lost(Moment.ofSeconds(-0.97));
      assertEquals(expected, play(decoder), "lost after " + half + " bytes, then opened again");
    }
  }

  @Test
  void garbageIsRejectedAndNeverThrown() {
    Random random = new Random(SEED);
    Transcript.Player player = new Transcript.Player(decoder());
    player.opened(Moment.START);
    Moment at = Moment.START;
    for (int i = 0; i < GARBAGE_CHUNKS; i++) {
      byte[] chunk = new byte[1 + random.nextInt(200)];
      random.nextBytes(chunk);
      at = at.plusSeconds(random.nextDouble() * 0.1);
      player.ticksUntil(at);
      player.bytes(at, chunk);
    }
    List<Rejected> rejected = rejected(player.heard());
    assertFalse(rejected.isEmpty(), "seed " + SEED + ": nothing rejected");
    rejected.forEach(InstrumentDriverContract::isHarmless);
  }

  @Test
  void framesWithSlipsInThemAreReadOrRejectedAndNeverThrown() {
    Random random = new Random(SEED);
    List<Transcript.Chunk> chunks = transcript().chunks();
    int channels = driver().channels(sheet()).size();
    Transcript.Player player = new Transcript.Player(decoder());
    player.opened(Moment.START);
    Moment at = Moment.START;
    for (int i = 0; i < MUTATED_FRAMES; i++) {
      byte[] chunk = mutated(chunks.get(random.nextInt(chunks.size())).bytes(), random);
      at = at.plusSeconds(random.nextDouble() * 0.1);
      player.ticksUntil(at);
      player.bytes(at, chunk);
      for (Object thing : player.heard()) {
        String where = "frame " + i + ", seed " + SEED + ": ";
        if (thing instanceof Transcript.Reading reading) {
          assertTrue(reading.channel() >= 0 && reading.channel() < channels, () -> where + reading);
          assertFalse(Double.isInfinite(reading.value()), () -> where + reading);
        } else if (thing instanceof Rejected rejected) {
          isHarmless(rejected);
        }
      }
      player.heard().clear();
    }
  }

  /** The same bytes with one slip: a bit, a byte more or less, something twice, or the end gone. */
  private static byte[] mutated(byte[] bytes, Random random) {
    byte[] changed = bytes.clone();
    int at = random.nextInt(bytes.length);
    switch (random.nextInt(5)) {
      case 0 -> changed[at] ^= (byte) (1 << random.nextInt(8));
      case 1 -> changed = spliced(bytes, at, new byte[] {(byte) random.nextInt(256)}, at);
      case 2 -> changed = spliced(bytes, at, new byte[0], at + 1);
      case 3 -> changed = spliced(bytes, at, Arrays.copyOfRange(bytes, at / 2, at), at);
      default -> changed = Arrays.copyOf(bytes, at + 1);
    }
    return changed;
  }

  private static byte[] spliced(byte[] bytes, int to, byte[] middle, int from) {
    ByteBuffer all = ByteBuffer.allocate(to + middle.length + bytes.length - from);
    return all.put(bytes, 0, to).put(middle).put(bytes, from, bytes.length - from).array();
  }

  @Test
  void aFrameWithoutEndIsGivenUp() {
    Transcript.Player player = new Transcript.Player(decoder());
    player.opened(Moment.START);
    byte[] bytes = transcript().joined().chunks().get(0).bytes();
    byte filler = (byte) '7';
    Moment at = Moment.ofSeconds(1);
    player.ticksUntil(at);
    player.bytes(at, Arrays.copyOf(bytes, Math.min(bytes.length, 3)));
    for (int i = 0; i < 200; i++) {
      byte[] endless = new byte[5_000];
      Arrays.fill(endless, filler);
      player.bytes(at, endless);
    }
    rejected(player.heard()).forEach(InstrumentDriverContract::isHarmless);
    player.lost(at);
    assertTrue(player.heard().size() < 100_000, "one endless frame gave too much to keep");
  }

  @Test
  void takesAnyKindOfBuffer() {
    List<Object> expected = play();
    for (boolean direct : new boolean[] {true, false}) {
      List<Object> heard = transcript().play(new OddBuffers(decoder(), direct));
      assertEquals(expected, heard, direct ? "direct buffer" : "read-only slice");
    }
  }

  @Test
  void aMemberThatNoOneKnowsIsRefusedByName() {
    InstrumentSheet good = sheet();
    Settings more = good.settings().orElse(new Settings("", Map.of("no_such_member", "x")));
    InstrumentSheet odd = new InstrumentSheet(good.name(), good.driver(), more);
    assertAll(
        () -> refuses(() -> driver().channels(odd)), () -> refuses(() -> driver().newDecoder(odd)));
  }

  private static void refuses(Runnable call) {
    IllegalArgumentException refusal =
        assertThrows(IllegalArgumentException.class, call::run, "an unknown member was accepted");
    assertTrue(
        String.valueOf(refusal.getMessage()).contains("no_such_member"),
        () -> "the message does not name the member: " + refusal.getMessage());
  }

  private static void isHarmless(Rejected rejected) {
    assertFalse(rejected.reason().isBlank(), "rejected without a reason");
    assertTrue(rejected.bytes().length() < 1_000, "too much text kept: " + rejected.bytes());
    assertFalse(
        rejected.bytes().chars().anyMatch(Character::isISOControl),
        () -> "control characters in " + rejected.bytes());
  }

  private Decoder decoder() {
    return driver().newDecoder(sheet());
  }

  private List<Object> play() {
    return play(decoder());
  }

  private List<Object> play(Decoder decoder) {
    return transcript().play(decoder);
  }

  private static List<Rejected> rejected(List<Object> heard) {
    return heard.stream().filter(Rejected.class::isInstance).map(Rejected.class::cast).toList();
  }

  private static List<Object> withoutMoments(List<Object> heard) {
    List<Object> timeless = new ArrayList<>();
    for (Object thing : heard) {
      if (thing instanceof Transcript.Reading reading) {
        timeless.add(new Transcript.Reading(reading.channel(), reading.value(), Moment.START));
      } else if (thing instanceof Rejected rejected) {
        timeless.add(new Rejected(Moment.START, rejected.bytes(), rejected.reason()));
      } else if (thing instanceof Transcript.Frame) {
        timeless.add(new Transcript.Frame(Moment.START));
      }
    }
    return timeless;
  }

  /** Gives a decoder the same bytes in buffers that have no array, or whose array starts before. */
  private record OddBuffers(Decoder decoder, boolean direct) implements Decoder {

    @Override
    public Next opened(Moment at) {
      return decoder.opened(at);
    }

    @Override
    public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
      int length = buffer.remaining();
      ByteBuffer odd =
          direct ? ByteBuffer.allocateDirect(length + 7) : ByteBuffer.allocate(length + 7);
      odd.position(3);
      odd.put(buffer);
      odd.flip().position(3);
      ByteBuffer given = direct ? odd : odd.slice().asReadOnlyBuffer();
      Next next = decoder.bytes(at, given, sink);
      assertFalse(given.hasRemaining(), "the decoder left bytes in the buffer");
      return next;
    }

    @Override
    public Next tick(Moment at, Sink sink) {
      return decoder.tick(at, sink);
    }

    @Override
    public void lost(Moment at) {
      decoder.lost(at);
    }
  }
}
