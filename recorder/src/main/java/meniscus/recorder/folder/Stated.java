package meniscus.recorder.folder;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Comparator;
import java.util.HexFormat;
import java.util.UUID;
import java.util.function.Predicate;
import meniscus.drivers.hash.Sha256;

/**
 * Which test a folder says that it holds.
 *
 * @param id that no other test has
 * @param drawn whether it was drawn when the test began; else it was made out of the content, since
 *     the folder is from before tests had one, and is the same in every copy
 * @param ofPlate whether a plate stood in the head's place: no test of a port
 * @param content SHA-256 over the names and hashes of all files that never change
 * @param notes SHA-256 over those of notes and photos, which people may change
 */
public record Stated(UUID id, boolean drawn, boolean ofPlate, String content, String notes) {

  /** Version 8 of RFC 9562 (5.8): an id of one's own making. */
  private static final long VERSION = 0x8000L;

  private static final long VARIANT = 1L << 63;

  static Stated of(PackageFile described) {
    Sha256 content = hash(described, file -> !mayChange(file));
    byte[] bytes = content.bytes();
    return new Stated(
        described.origin().id().orElseGet(() -> made(bytes)),
        described.origin().id().isPresent(),
        described.isOfPlate(),
        HexFormat.of().formatHex(bytes),
        hash(described, Stated::mayChange).hex());
  }

  private static boolean mayChange(String file) {
    return file.equals(TestFolder.NOTES) || file.startsWith(TestFolder.PHOTOS);
  }

  private static Sha256 hash(PackageFile described, Predicate<String> which) {
    Sha256 hash = new Sha256();
    described.resources().stream()
        .filter(file -> which.test(file.path()))
        .sorted(Comparator.comparing(Resource::path))
        .forEach(
            file ->
                hash.add(
                    (file.path() + " " + file.sha256() + "\n").getBytes(StandardCharsets.UTF_8)));
    return hash;
  }

  private static UUID made(byte[] content) {
    ByteBuffer bytes = ByteBuffer.wrap(content);
    return new UUID(bytes.getLong() & ~0xF000L | VERSION, bytes.getLong() >>> 2 | VARIANT);
  }
}
