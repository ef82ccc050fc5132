package meniscus.drivers.line.rfc2217;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Telnet as RFC 854, 855 and 856 have it; settings as RFC 2217 has them. */
class TelnetCodecTest {

  private static final long SEED = 2217;

  private static final class Heard implements TelnetCodec.Commands {
    final List<String> said = new ArrayList<>();

    @Override
    public void option(int verb, int option) {
      said.add(verb + " " + option);
    }

    @Override
    public void subnegotiation(int option, byte[] content) {
      said.add("SB " + option + " " + Arrays.toString(content));
    }
  }

  private static byte[] bytes(int... values) {
    byte[] bytes = new byte[values.length];
    for (int i = 0; i < values.length; i++) {
      bytes[i] = (byte) values[i];
    }
    return bytes;
  }

  /** Data and commands of a stream that comes in pieces. */
  private static List<String> decode(byte[] stream, int piece, boolean binary) {
    Heard heard = new Heard();
    TelnetCodec codec = new TelnetCodec(heard);
    if (binary) {
      codec.receivesBinary();
    }
    ByteBuffer data = ByteBuffer.allocate(stream.length);
    for (int from = 0; from < stream.length; from += piece) {
      codec.decode(ByteBuffer.wrap(stream, from, Math.min(piece, stream.length - from)), data);
    }
    heard.said.add(Arrays.toString(Arrays.copyOf(data.array(), data.position())));
    return heard.said;
  }

  @Test
  void commandsAreTakenOutAndDoubledBytesMadeOneWhateverTheCut() {
    byte[] stream =
        bytes(
            'a', 255, 255, 'b', 255, 251, 0, 255, 250, 44, 101, 0, 255, 255, 1, 255, 240, 255, 241,
            '\r', 0, '\r', '\n', 'c');
    List<String> expected =
        List.of(
            "251 0",
            "SB 44 [101, 0, -1, 1]",
            Arrays.toString(bytes('a', 255, 'b', '\r', '\r', '\n', 'c')));
    for (int piece = 1; piece <= stream.length; piece++) {
      assertEquals(expected, decode(stream, piece, false), "pieces of " + piece);
    }
  }

  @Test
  void plainBytesKeepTheNulAfterACarriageReturn() {
    assertEquals(List.of("[13, 0]"), decode(bytes('\r', 0), 1, true));
  }

  @Test
  void anythingThatIsSentComesOutAgain() {
    Random random = new Random(SEED);
    for (int run = 0; run < 2_000; run++) {
      byte[] sent = new byte[random.nextInt(60)];
      for (int i = 0; i < sent.length; i++) {
        sent[i] =
            (byte) (random.nextBoolean() ? random.nextInt(256) : random.nextBoolean() ? 255 : 13);
      }
      for (boolean binary : new boolean[] {true, false}) {
        ByteBuffer stream = TelnetCodec.encode(ByteBuffer.wrap(sent), binary);
        byte[] encoded = new byte[stream.remaining()];
        stream.get(encoded);
        // On a line of text a carriage return before a NUL cannot be told from a lone one.
        if (binary || !new String(sent, StandardCharsets.ISO_8859_1).contains("\r\0")) {
          assertEquals(
              List.of(Arrays.toString(sent)),
              decode(encoded, 1 + random.nextInt(7), binary),
              "run " + run + ", seed " + SEED);
        }
      }
    }
  }

  @Test
  void garbageIsNeverThrownAndASubnegotiationWithoutEndNeedsNoMemory() {
    Random random = new Random(SEED);
    byte[] garbage = new byte[200_000];
    random.nextBytes(garbage);
    decode(garbage, 777, false);
    byte[] endless = new byte[1_000_000];
    endless[0] = (byte) 255;
    endless[1] = (byte) 250;
    assertEquals(List.of("[]"), decode(endless, 8192, true));
  }

  @Test
  void aBaudRateIsFourBytesWithTheHighestFirst() {
    assertArrayEquals(
        bytes(255, 250, 44, 1, 0, 1, 194, 0, 255, 240),
        TelnetCodec.subnegotiation(
            44, new PortSettings(115200, 8, 1, 1, 1, true, true).requests().get(0).content()));
  }
}
