package meniscus.recorder.cli;

import java.io.ByteArrayOutputStream;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;

/**
 * A command line and what came of it.
 *
 * @param code exit code
 * @param out standard output
 * @param err standard error
 */
public record Called(int code, String out, String err) {

  public static Called with(Object... words) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    String[] texts = new String[words.length];
    for (int i = 0; i < words.length; i++) {
      texts[i] = words[i].toString();
    }
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            InputStream.nullInputStream(),
            texts);
    return new Called(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }
}
