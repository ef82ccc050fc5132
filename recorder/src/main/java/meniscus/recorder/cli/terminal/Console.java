package meniscus.recorder.cli.terminal;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.time.InstantSource;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.recorder.file.PlainText;
import meniscus.recorder.json.JsonOut;

/**
 * The streams that a command talks through; tests pass their own.
 *
 * @param out data
 * @param err messages
 * @param in what the operator types or another program sends
 * @param clock the time of day
 * @param form what JSON objects say they are, as {@code judge}: each begins with {@code "meniscus":
 *     "judge/1"}, the name of its schema in docs/schemas
 */
public record Console(
    PrintStream out, PrintStream err, InputStream in, InstantSource clock, String form) {

  /** The version of all forms; a change that is not an addition raises it. */
  private static final String FORM_VERSION = "/1";

  /** Letters of many lines that are written at once: any number is good. */
  private static final int AT_ONCE = 8_000;

  public Console(PrintStream out, PrintStream err, InputStream in) {
    this(out, err, in, InstantSource.system());
  }

  public Console(PrintStream out, PrintStream err, InputStream in, InstantSource clock) {
    this(out, err, in, clock, "answer");
  }

  /** The same streams, for objects of another form. */
  public Console as(String otherForm) {
    return new Console(out, err, in, clock, otherForm);
  }

  /** Made when the first JSON is printed: most commands print none. */
  private static final class Json {
    private static final ObjectMapper MAPPER = new ObjectMapper();
  }

  /** One that says nothing and hears nothing. */
  public static Console silent() {
    PrintStream nowhere =
        new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8);
    return new Console(nowhere, nowhere, InputStream.nullInputStream());
  }

  /** One JSON object on one line of standard output. */
  public void json(JsonNode object) {
    ObjectNode named = JsonOut.object().put("meniscus", form + FORM_VERSION);
    object.properties().forEach(member -> named.set(member.getKey(), member.getValue()));
    try {
      out.println(Json.MAPPER.writeValueAsString(named));
      out.flush();
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a JSON tree can always be written", e);
    }
  }

  /** A line of data, with nothing in it that a terminal would obey. */
  public void say(String line) {
    out.println(PlainText.of(line));
  }

  /** Many lines of data; each by itself would go to the system by itself. */
  public void say(Stream<String> lines) {
    StringBuilder some = new StringBuilder();
    lines.forEachOrdered(
        line -> {
          some.append(PlainText.of(line)).append(System.lineSeparator());
          if (some.length() > AT_ONCE) {
            out.print(some);
            some.setLength(0);
          }
        });
    out.print(some);
  }

  /** The same for a message. */
  public void warn(String message) {
    err.println(PlainText.of(message));
  }

  /**
   * The terminal with a person before it; empty in a script, a pipe or a service. Newer versions of
   * Java have a console there too, and say of it that it is no terminal.
   */
  public static Optional<java.io.Console> terminal() {
    java.io.Console console = System.console();
    try {
      boolean person =
          console != null
              && (boolean) java.io.Console.class.getMethod("isTerminal").invoke(console);
      return person ? Optional.of(console) : Optional.empty();
    } catch (NoSuchMethodException olderJava) {
      return Optional.of(console);
    } catch (ReflectiveOperationException e) {
      return Optional.empty();
    }
  }

  /** True when nobody reads standard output any more, as with {@code | head}. */
  public boolean outputGone() {
    return out.checkError();
  }
}
