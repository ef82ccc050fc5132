package meniscus.core.outlet;

import meniscus.core.refusal.Refusal;

/** What a way out may ask and tell. For any thread. */
public interface OutletHost {

  /**
   * A secret by its name. It stands in no bench file.
   *
   * @throws Refusal when it is not known, or others can read where it is kept
   */
  String secret(String name);

  /**
   * A file that the settings name, as an absolute path: a relative one is beside the bench file.
   */
  String file(String name);

  /**
   * What the receiver has answered: {@code {"stored_up_to": place}}. Returns at once.
   *
   * @param json as it came; of any length and form, for it is from a stranger
   */
  void answered(String json);

  /** The way is broken, in words: it will be closed and opened anew. Returns at once. */
  void lost(String why);
}
