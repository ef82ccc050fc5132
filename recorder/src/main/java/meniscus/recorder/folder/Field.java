package meniscus.recorder.folder;

import java.util.List;

/**
 * A column, as the table schema describes it.
 *
 * @param name of the column
 * @param type of Table Schema: string, number, integer, boolean, datetime
 * @param unit UCUM code; empty where there is none
 * @param description in words
 * @param words the only ones it may hold; empty when any
 */
record Field(String name, String type, String unit, String description, List<String> words) {

  static Field number(String name, String unit, String description) {
    return new Field(name, "number", unit, description, List.of());
  }

  static Field integer(String name, String unit, String description) {
    return new Field(name, "integer", unit, description, List.of());
  }

  static Field text(String name, String description) {
    return new Field(name, "string", "", description, List.of());
  }

  static Field oneOf(String name, String description, List<String> words) {
    return new Field(name, "string", "", description, words);
  }

  static Field flag(String name, String description) {
    return new Field(name, "boolean", "", description, List.of());
  }

  static Field instant(String name, String description) {
    return new Field(name, "datetime", "", description, List.of());
  }

  static List<String> names(List<Field> fields) {
    return fields.stream().map(Field::name).toList();
  }
}
