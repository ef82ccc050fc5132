package meniscus.recorder.page.bench;

import java.io.IOException;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.feed.BenchFault;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.self.ProgramFault;

/** What the page says when something that it began broke off. */
public final class Failure {

  private Failure() {}

  /** What a person can put right in its own words, anything else as a fault in the program. */
  public static String words(Throwable thrown) {
    boolean forPeople =
        thrown instanceof Refusal
            || thrown instanceof BenchFault
            || thrown instanceof FileNotAccepted
            || thrown instanceof IOException;
    return forPeople ? String.valueOf(thrown.getMessage()) : ProgramFault.told(thrown);
  }
}
