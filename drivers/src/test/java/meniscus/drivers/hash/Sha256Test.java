package meniscus.drivers.hash;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Against the examples that NIST publishes beside FIPS 180-4 (from memory). */
class Sha256Test {

  private static final String ABC =
      "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

  @TempDir Path temp;

  @Test
  void theHashIsThatOfThePublishedExamples() {
    assertEquals(ABC, Sha256.hex("abc".getBytes(StandardCharsets.UTF_8)));
    assertEquals(
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        Sha256.hex(
            "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"
                .getBytes(StandardCharsets.UTF_8)));
  }

  @Test
  void aFileIsHashedAsItsBytesAreHoweverLongItIs() throws IOException {
    Path file = Files.writeString(temp.resolve("abc"), "abc");
    assertEquals(ABC, Sha256.hex(file));
    byte[] many = new byte[200_000];
    assertEquals(Sha256.hex(many), Sha256.hex(Files.write(temp.resolve("long"), many)));
  }
}
