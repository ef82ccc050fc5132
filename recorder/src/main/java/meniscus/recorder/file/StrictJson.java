package meniscus.recorder.file;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.core.exc.StreamConstraintsException;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.core.util.Separators;
import com.fasterxml.jackson.core.util.Separators.Spacing;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;

/**
 * JSON as people write it, read without mercy: one object a file, no member twice, no null, nothing
 * after it, and no text that would exhaust the memory.
 */
public final class StrictJson {

  /** Years of health log fit in a tenth of this. */
  private static final int LARGEST_FILE = 4 << 20;

  /** For trees of any form, as strict. */
  public static final JsonMapper MAPPER =
      JsonMapper.builder(
              JsonFactory.builder()
                  .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
                  .disable(StreamReadFeature.INCLUDE_SOURCE_IN_LOCATION)
                  .streamReadConstraints(
                      StreamReadConstraints.builder()
                          .maxNestingDepth(20)
                          .maxStringLength(10_000)
                          .maxNumberLength(60)
                          .maxNameLength(200)
                          .build())
                  .build())
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .build();

  private StrictJson() {}

  /** The members of a file's one object. */
  static Map<String, Object> read(Path file) {
    try (InputStream stream = Files.newInputStream(file)) {
      byte[] bytes = stream.readNBytes(LARGEST_FILE + 1);
      refuseLarge(file.toString(), bytes.length);
      if (JsonFault.isUtf16(bytes)) {
        throw new FileNotAccepted(
            file
                + " is stored as UTF-16, with two bytes for each letter: save it once more as UTF-8;"
                + " editors ask for the encoding under \"Save as\"");
      }
      return parse(file.toString(), new String(bytes, StandardCharsets.UTF_8));
    } catch (NoSuchFileException missing) {
      throw new FileNotAccepted("there is no file " + file, missing);
    } catch (IOException unreadable) {
      throw new FileNotAccepted(file + " cannot be read: " + unreadable.getMessage(), unreadable);
    }
  }

  /**
   * @param name of the text, for messages
   */
  static Map<String, Object> parse(String name, String text) {
    refuseLarge(name, text.length());
    // Some editors put a byte-order mark before UTF-8.
    String json = text.startsWith("\uFEFF") ? text.substring(1) : text;
    Object root;
    try {
      root = MAPPER.readValue(json, Object.class);
    } catch (StreamConstraintsException tooMuch) {
      throw new FileNotAccepted(
          name
              + place(tooMuch.getLocation())
              + ": not JSON that anybody would write by hand: "
              + tooMuch.getOriginalMessage(),
          tooMuch);
    } catch (JsonProcessingException broken) {
      JsonLocation at = broken.getLocation();
      long offset = at == null || at.getCharOffset() < 0 ? json.length() : at.getCharOffset();
      throw new FileNotAccepted(
          name + place(at) + ": not JSON: " + JsonFault.advice(json, offset), broken);
    }
    if (!(root instanceof Map<?, ?> members)) {
      throw new FileNotAccepted(name + ": must hold one object { … }");
    }
    refuseNull(name, members);
    @SuppressWarnings("unchecked") // keys of a JSON object are text
    Map<String, Object> named = (Map<String, Object>) members;
    return named;
  }

  private static void refuseLarge(String name, int length) {
    if (length > LARGEST_FILE) {
      throw new FileNotAccepted(name + " is larger than 4 MB: is it the right file?");
    }
  }

  /** Indented text that ends with a line break, the same on every system. */
  static String print(Map<String, Object> members) {
    DefaultIndenter indenter = new DefaultIndenter("  ", "\n");
    DefaultPrettyPrinter printer =
        new DefaultPrettyPrinter(
            Separators.createDefaultInstance().withObjectFieldValueSpacing(Spacing.AFTER));
    printer.indentObjectsWith(indenter);
    try {
      return MAPPER.writer(printer).writeValueAsString(members) + "\n";
    } catch (JsonProcessingException impossible) {
      throw new IllegalStateException("plain values can always be written", impossible);
    }
  }

  /** The same on one line, without a line break. */
  static String printLine(Map<String, Object> members) {
    try {
      return MAPPER.writeValueAsString(members);
    } catch (JsonProcessingException impossible) {
      throw new IllegalStateException("plain values can always be written", impossible);
    }
  }

  private static String place(JsonLocation at) {
    return at == null || at.getCharOffset() < 0
        ? ""
        : ", line " + at.getLineNr() + ", column " + at.getColumnNr();
  }

  private static void refuseNull(String where, Object value) {
    if (value == null) {
      throw new FileNotAccepted(where + " is null: leave the member out instead");
    }
    if (value instanceof Map<?, ?> members) {
      members.forEach((name, member) -> refuseNull(where + ", \"" + name + "\"", member));
    } else if (value instanceof List<?> items) {
      items.forEach(item -> refuseNull(where, item));
    }
  }
}
