package meniscus.recorder.self;

import ch.qos.logback.classic.spi.ThrowableProxy;
import ch.qos.logback.classic.spi.ThrowableProxyUtil;
import org.slf4j.LoggerFactory;

/**
 * How a fault of the program itself is told: to the person in one sentence that blames neither them
 * nor the bench, and to the log with the place where it happened.
 */
public final class ProgramFault {

  private ProgramFault() {}

  /** Writes what was thrown to the log and says so. */
  public static String told(Throwable thrown) {
    LoggerFactory.getLogger(ProgramFault.class).debug("a fault in the program", thrown);
    LogFile log = LogFile.own();
    boolean written = log.add("FAULT " + ThrowableProxyUtil.asString(new ThrowableProxy(thrown)));
    return "this is a fault in the program, not in your bench: "
        + thrown
        + "; nothing kept is lost. "
        + (written
            ? "Where it happened is written to " + log.path() + ": please send that file"
            : "The log "
                + log.path()
                + " cannot be written; run again with --verbose to see where");
  }
}
