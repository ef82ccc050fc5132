package meniscus.drivers.text;

import java.nio.charset.StandardCharsets;
import java.util.List;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/** Where in a line a number or a word stands. */
interface FieldPlace {

  /** Looks it up; what was found is left in the line's {@code from} and {@code to}. */
  boolean find(TextLine line);

  /** For messages. */
  String name();

  /**
   * Reads {@code field}, {@code label}, {@code columns} or {@code group}: exactly one of them.
   *
   * @param labelMark what stands between a label and its number; empty: the label is a field
   */
  static FieldPlace of(Settings settings, byte[] labelMark) {
    List<String> given =
        List.of("field", "label", "columns", "group").stream().filter(settings::has).toList();
    if (given.size() != 1) {
      throw new Refusal(
          settings.where()
              + ": say where it stands by one of \"field\", \"label\", \"columns\" or \"group\"");
    }
    return switch (given.get(0)) {
      case "field" -> new Field(settings.whole("field", 1, 1, 1000) - 1);
      case "group" -> new Group(settings.whole("group", 1, 1, 100));
      case "columns" -> columns(settings);
      default -> label(settings.text("label"), labelMark);
    };
  }

  private static FieldPlace columns(Settings settings) {
    List<Double> columns = settings.numbers("columns");
    if (columns.size() != 2 || columns.get(0) < 1 || columns.get(1) < columns.get(0)) {
      throw new Refusal(
          settings.where() + ", \"columns\" must be the first and the last column, as [5, 12]");
    }
    return new Columns(columns.get(0).intValue() - 1, columns.get(1).intValue());
  }

  private static FieldPlace label(String label, byte[] labelMark) {
    byte[] bytes = label.getBytes(StandardCharsets.ISO_8859_1);
    return labelMark.length == 0 ? new Label(label, bytes) : new Marked(label, bytes, labelMark[0]);
  }

  /** The n-th field, counted from 0. */
  record Field(int index) implements FieldPlace {
    @Override
    public boolean find(TextLine line) {
      if (index >= line.fieldCount) {
        return false;
      }
      line.field(index);
      return true;
    }

    @Override
    public String name() {
      return "field " + (index + 1);
    }
  }

  /** The field after the one that is the label. A label that comes twice is no label. */
  record Label(String label, byte[] bytes) implements FieldPlace {
    @Override
    public boolean find(TextLine line) {
      int found = -1;
      for (int i = 0; i + 1 < line.fieldCount; i++) {
        line.field(i);
        if (line.isText(bytes)) {
          if (found >= 0) {
            return false;
          }
          found = i + 1;
        }
      }
      if (found >= 0) {
        line.field(found);
      }
      return found >= 0;
    }

    @Override
    public String name() {
      return "label " + label;
    }
  }

  /** The rest of the field that begins with the label and a mark. */
  record Marked(String label, byte[] bytes, byte mark) implements FieldPlace {
    @Override
    public boolean find(TextLine line) {
      int found = -1;
      for (int i = 0; i < line.fieldCount; i++) {
        if (isLabelled(line, i)) {
          if (found >= 0) {
            return false;
          }
          found = i;
        }
      }
      if (found >= 0) {
        line.field(found);
        line.span(markAt(line) + 1, line.to);
      }
      return found >= 0;
    }

    private boolean isLabelled(TextLine line, int index) {
      line.field(index);
      int last = line.to;
      int at = markAt(line);
      if (at == last) {
        return false;
      }
      line.span(line.from, at);
      return line.isText(bytes);
    }

    private int markAt(TextLine line) {
      int at = line.from;
      while (at < line.to && line.bytes[at] != mark) {
        at++;
      }
      return at;
    }

    @Override
    public String name() {
      return "label " + label;
    }
  }

  /** A stretch of columns, counted from 0, the end not included. */
  record Columns(int first, int last) implements FieldPlace {
    @Override
    public boolean find(TextLine line) {
      if (line.start + last > line.end) {
        return false;
      }
      line.span(line.start + first, line.start + last);
      return true;
    }

    @Override
    public String name() {
      return "columns " + (first + 1) + " to " + last;
    }
  }

  /** A group of the pattern. */
  record Group(int number) implements FieldPlace {
    @Override
    public boolean find(TextLine line) {
      return line.group(number);
    }

    @Override
    public String name() {
      return "group " + number;
    }
  }
}
