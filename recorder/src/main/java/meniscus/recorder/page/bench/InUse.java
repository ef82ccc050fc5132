package meniscus.recorder.page.bench;

import java.util.Optional;
import meniscus.recorder.page.http.HttpError;

/** Who has the bench's lines open: a lift test or the bench's upkeep, never both. */
public final class InUse {

  private Optional<String> by = Optional.empty();

  /**
   * @param what for the message: {@code "a lift test"}
   * @throws Refused while something else has them
   */
  public synchronized void take(String what) throws HttpError {
    refuseTaken();
    by = Optional.of(what);
  }

  /** Notes that they are open already, by something that this page did not begin. */
  public synchronized void taken(String what) {
    by = Optional.of(what);
  }

  /**
   * @throws Refused while something has them
   */
  public synchronized void refuseTaken() throws HttpError {
    if (by.isPresent()) {
      throw HttpError.notNow(by.get() + " is running: wait for its end, or stop it first");
    }
  }

  public synchronized void free() {
    by = Optional.empty();
  }
}
