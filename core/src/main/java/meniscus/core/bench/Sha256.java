package meniscus.core.bench;

import meniscus.core.refusal.Refusal;

/** The written form of a SHA-256 hash. */
final class Sha256 {

  private Sha256() {}

  static void check(String hash) {
    if (!hash.matches("[0-9a-f]{64}")) {
      throw new Refusal("\"" + hash + "\" is not a SHA-256 hash: 64 digits 0-9 and a-f");
    }
  }
}
