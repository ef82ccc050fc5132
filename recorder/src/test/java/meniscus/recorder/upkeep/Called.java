package meniscus.recorder.upkeep;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.stream.Stream;
import meniscus.recorder.cli.MeniscusCommand;

/** What one call of the command line gave. */
record Called(int code, String out, String err) {

  /**
   * @param stdin what is typed
   */
  static Called run(String stdin, Object... arguments) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            new ByteArrayInputStream(stdin.getBytes(StandardCharsets.UTF_8)),
            Stream.of(arguments).map(Object::toString).toArray(String[]::new));
    return new Called(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }
}
