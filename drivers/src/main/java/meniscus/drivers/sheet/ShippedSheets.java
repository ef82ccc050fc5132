package meniscus.drivers.sheet;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import meniscus.core.refusal.Refusal;

/**
 * The instrument sheets that come with the program, as JSON text: the catalogue of docs/sheets,
 * packed into the jar.
 */
public final class ShippedSheets {

  private static final List<String> NAMES =
      List.of(
          "board-lines",
          "board-packets",
          "column-centimetres",
          "column-inclined-oil",
          "column-percent",
          "column-vertical-water",
          "comma-fields",
          "decimal-comma-fields",
          "dial-indicator",
          "keyboard-wedge",
          "label-and-number",
          "modbus-register-pair",
          "modbus-whole-numbers",
          "number-alone",
          "number-and-unit",
          "question-and-answer",
          "room-air-station",
          "scpi-meter",
          "signed-digits",
          "sigrok-two-channels",
          "status-number-unit",
          "two-channel-manometer",
          "two-columns-and-dial");

  private ShippedSheets() {}

  /** Names of the shipped sheets, in alphabetical order. */
  public static List<String> names() {
    return NAMES;
  }

  /**
   * The JSON of one sheet.
   *
   * @param name one of {@link #names()}
   * @throws Refusal naming the known sheets when there is none of that name
   */
  public static String json(String name) {
    if (!NAMES.contains(name)) {
      throw new Refusal(
          "no instrument sheet \""
              + name
              + "\" is shipped; there are: "
              + String.join(", ", NAMES));
    }
    String resource = "/meniscus/drivers/sheets/" + name + ".json";
    try (InputStream stream = ShippedSheets.class.getResourceAsStream(resource)) {
      return new String(stream.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException unreadable) {
      throw new UncheckedIOException("the program's own " + resource, unreadable);
    }
  }
}
