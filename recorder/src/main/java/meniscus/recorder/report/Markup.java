package meniscus.recorder.report;

import java.util.ArrayDeque;
import java.util.Deque;
import meniscus.recorder.file.PlainText;

/**
 * Writes HTML and SVG. Every text and attribute is escaped, characters that could reorder or hide
 * text are replaced, and elements are closed in their order: a name from a file can be anything.
 */
final class Markup {

  private final StringBuilder text = new StringBuilder();
  private final Deque<String> open = new ArrayDeque<>();

  /**
   * Opens an element.
   *
   * @param attributes name, value, name, value …
   */
  Markup open(String element, String... attributes) {
    start(element, attributes);
    text.append('>');
    open.push(element);
    return this;
  }

  /** An element without content. */
  Markup empty(String element, String... attributes) {
    start(element, attributes);
    text.append("/>");
    return this;
  }

  /** An element with text in it. */
  Markup leaf(String element, String content, String... attributes) {
    return open(element, attributes).text(content).close();
  }

  /** A paragraph for whoever wants to know more. */
  Markup quiet(String content) {
    return leaf("p", content, "class", "quiet");
  }

  /** Cells whose numbers stand below each other. */
  Markup numbers(String element, Iterable<String> cells) {
    cells.forEach(cell -> leaf(element, cell, "class", "n"));
    return this;
  }

  /** A table of numbers, up to its first row. */
  Markup table(Iterable<String> names) {
    open("table").open("thead").open("tr").numbers("th", names);
    return close().close().open("tbody").line();
  }

  Markup row(Iterable<String> cells) {
    return open("tr").numbers("td", cells).close().line();
  }

  Markup endTable() {
    return close().close().line();
  }

  Markup close() {
    text.append("</").append(open.pop()).append('>');
    return this;
  }

  Markup text(String content) {
    text.append(escaped(content));
    return this;
  }

  Markup line() {
    text.append('\n');
    return this;
  }

  /** Text of our own that must stand as it is: the style sheet. */
  Markup ours(String content) {
    text.append(content);
    return this;
  }

  private void start(String element, String... attributes) {
    text.append('<').append(element);
    for (int i = 0; i < attributes.length; i += 2) {
      text.append(' ').append(attributes[i]).append("=\"").append(escaped(attributes[i + 1]));
      text.append('"');
    }
  }

  static String escaped(String content) {
    StringBuilder safe = new StringBuilder(content.length() + 16);
    content
        .codePoints()
        .forEach(
            c -> {
              switch (c) {
                case '&' -> safe.append("&amp;");
                case '<' -> safe.append("&lt;");
                case '>' -> safe.append("&gt;");
                case '"' -> safe.append("&quot;");
                case '\'' -> safe.append("&#39;");
                default -> safe.appendCodePoint(PlainText.shown(c));
              }
            });
    return safe.toString();
  }

  /** What was written; every element must be closed. */
  @Override
  public String toString() {
    if (!open.isEmpty()) {
      throw new IllegalStateException("not closed: " + open);
    }
    return text.toString();
  }
}
