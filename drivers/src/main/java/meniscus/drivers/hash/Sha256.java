package meniscus.drivers.hash;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** A SHA-256 hash (FIPS 180-4) as it grows; written in 64 digits 0-9 and a-f. */
public final class Sha256 {

  private final MessageDigest digest;

  public Sha256() {
    try {
      digest = MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }

  public static String hex(byte[] bytes) {
    return new Sha256().add(bytes).hex();
  }

  public static String hex(Path file) throws IOException {
    return new Sha256().add(file).hex();
  }

  public Sha256 add(byte[] bytes) {
    return add(bytes, 0, bytes.length);
  }

  public Sha256 add(byte[] bytes, int from, int length) {
    digest.update(bytes, from, length);
    return this;
  }

  /** The content of a file, however long it is. */
  public Sha256 add(Path file) throws IOException {
    try (InputStream in = Files.newInputStream(file)) {
      byte[] buffer = new byte[1 << 16];
      for (int count = in.read(buffer); count >= 0; count = in.read(buffer)) {
        add(buffer, 0, count);
      }
    }
    return this;
  }

  /** Of all that was added; call it once. */
  public byte[] bytes() {
    return digest.digest();
  }

  /** The same, written. */
  public String hex() {
    return HexFormat.of().formatHex(bytes());
  }
}
