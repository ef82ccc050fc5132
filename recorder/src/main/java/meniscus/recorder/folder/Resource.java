package meniscus.recorder.folder;

import java.util.List;
import java.util.Locale;
import java.util.OptionalLong;

/**
 * A file of the package, as datapackage.json lists it.
 *
 * @param path within the folder
 * @param bytes of it
 * @param sha256 of it, in lower-case hex
 * @param rows of a table, without its header
 * @param fields of a table; empty for other files
 */
record Resource(String path, long bytes, String sha256, OptionalLong rows, List<Field> fields) {

  /** A name that shells and URLs take; two paths that differ in case alone have the same. */
  String name() {
    int dot = path.indexOf('.');
    String base = isTable() && dot > 0 ? path.substring(0, dot) : path;
    return base.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9._-]", "-");
  }

  boolean isTable() {
    return !fields.isEmpty();
  }

  boolean isCompressed() {
    return path.endsWith(".gz");
  }

  /** Only text has an encoding. */
  boolean isText() {
    return mediatype().equals("text/csv") || mediatype().equals("application/json");
  }

  String format() {
    String plain = isCompressed() ? path.substring(0, path.length() - 3) : path;
    int dot = plain.lastIndexOf('.');
    return dot < 0 ? "bin" : plain.substring(dot + 1).toLowerCase(Locale.ROOT);
  }

  String mediatype() {
    return switch (format()) {
      case "csv" -> "text/csv";
      case "json" -> "application/json";
      case "jpg", "jpeg" -> "image/jpeg";
      case "png" -> "image/png";
      default -> "application/octet-stream";
    };
  }
}
