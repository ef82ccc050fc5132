package meniscus.recorder.report;

import java.util.function.DoubleFunction;
import java.util.stream.Stream;
import meniscus.core.quantity.Text;

/**
 * A drawing of fixed width, as SVG: axes, marks and labels that charts share.
 *
 * @param out written to
 * @param x scale along the bottom
 * @param y scale up the left side
 */
record Canvas(Markup out, Axis x, Axis y) {

  static final double WIDTH = 720;
  static final double LEFT = 64;
  static final double RIGHT = 16;
  static final double TOP = 16;
  static final double BOTTOM = 48;

  private static final String GRID = "#e3e3e3";
  private static final String[] WIDTH_OF_LINES = {"stroke-width", "1.2"};
  static final String INK = "#444444";
  private static final String BAND = "#d9d9d9";
  private static final String BAND_EDGE = "#9a9a9a";

  /** Colour (Okabe and Ito), dash and marker: never colour alone. */
  enum Look {
    LATER("#0072b2", "none", "M-4 0A4 4 0 1 1 4 0A4 4 0 1 1 -4 0Z"),
    EARLIER("#d55e00", "7 5", "M-4 -4H4V4H-4Z"),
    THIRD("#007a5a", "2 4", "M0 -5L5 0L0 5L-5 0Z"),
    FOURTH("#8a4f7d", "10 4 2 4", "M0 -5L5 4H-5Z");

    final String colour;
    private final String dash;
    final String marker;

    Look(String colour, String dash, String marker) {
      this.colour = colour;
      this.dash = dash;
      this.marker = marker;
    }

    static Look of(int index) {
      return values()[index % values().length];
    }
  }

  /** Opens the drawing. */
  static void open(Markup out, double height, String title) {
    out.open(
        "svg",
        "class",
        "chart",
        "viewBox",
        "0 0 " + number(WIDTH) + " " + number(height),
        "role",
        "img",
        "aria-label",
        title);
  }

  void axes(String nameX, String nameY) {
    ticks(x::label, WIDTH_OF_LINES);
    double bottom = y.from();
    line(x.from(), bottom, x.to(), bottom, INK);
    line(x.from(), TOP, x.from(), bottom, INK);
    names(nameX, nameY);
  }

  /**
   * Lines across the drawing with their numbers.
   *
   * @param style of the lines: name, value, name, value …
   */
  void ticks(DoubleFunction<String> labelX, String... style) {
    double bottom = y.from();
    for (double tick : x.ticks()) {
      line(x.at(tick), TOP, x.at(tick), bottom, GRID, style);
      label(labelX.apply(tick), x.at(tick), bottom + 18, "middle");
    }
    for (double tick : y.ticks()) {
      line(x.from(), y.at(tick), x.to(), y.at(tick), GRID, style);
      label(y.label(tick), x.from() - 8, y.at(tick) + 4, "end");
    }
  }

  /** What is drawn over what. */
  void names(String nameX, String nameY) {
    double bottom = y.from();
    label(nameX, (x.from() + x.to()) / 2, bottom + 38, "middle");
    String middle = number((TOP + bottom) / 2);
    out.leaf(
        "text",
        nameY,
        "x",
        "16",
        "y",
        middle,
        "text-anchor",
        "middle",
        "transform",
        "rotate(-90 16 " + middle + ")");
  }

  /** A straight line in the grey of axes, from number to number. */
  void rule(double fromX, double fromY, double toX, double toY) {
    line(x.at(fromX), y.at(fromY), x.at(toX), y.at(toY), INK);
  }

  void polyline(String path, Look look) {
    out.empty(
        "path",
        "d",
        path,
        "fill",
        "none",
        "stroke",
        look.colour,
        "stroke-width",
        "2",
        "stroke-dasharray",
        look.dash);
  }

  void band(String path) {
    out.empty("path", "d", path, "fill", BAND, "stroke", BAND_EDGE, "stroke-width", "0.8");
  }

  /** A vertical bar with caps. */
  void interval(double atX, double low, double high, Look look) {
    double at = x.at(atX);
    line(at, y.at(low), at, y.at(high), look.colour);
    line(at - 4, y.at(low), at + 4, y.at(low), look.colour);
    line(at - 4, y.at(high), at + 4, y.at(high), look.colour);
  }

  void marker(double placeX, double placeY, Look look, boolean filled) {
    out.empty(
        "path",
        "d",
        look.marker,
        "transform",
        "translate(" + number(placeX) + " " + number(placeY) + ")",
        "fill",
        filled ? look.colour : "#ffffff",
        "stroke",
        look.colour,
        "stroke-width",
        "1.6");
  }

  /** Around a marker that is to be seen. */
  void ring(double placeX, double placeY) {
    out.empty(
        "circle",
        "cx",
        number(placeX),
        "cy",
        number(placeY),
        "r",
        "9",
        "fill",
        "none",
        "stroke",
        "#a84300",
        "stroke-width",
        "2");
  }

  void box(double left, double top, double wide, double tall, String fill, String edge) {
    out.empty(
        "rect",
        "x",
        number(left),
        "y",
        number(top),
        "width",
        number(wide),
        "height",
        number(tall),
        "fill",
        fill,
        "stroke",
        edge);
  }

  void label(String text, double placeX, double placeY, String anchor) {
    out.leaf("text", text, "x", number(placeX), "y", number(placeY), "text-anchor", anchor);
  }

  /** One entry of a legend; without a look it is the band's. */
  void legend(Look look, String name, double left, double top) {
    if (look == null) {
      box(left, top - 11, 36, 12, BAND, BAND_EDGE);
    } else {
      polyline("M" + number(left) + " " + number(top - 4) + "h36", look);
      marker(left + 18, top - 4, look, look == Look.LATER);
    }
    label(shortened(name), left + 46, top, "start");
  }

  private static String shortened(String name) {
    int longest = 34;
    return name.codePointCount(0, name.length()) <= longest
        ? name
        : name.substring(0, name.offsetByCodePoints(0, longest - 1)) + "…";
  }

  private void line(double x1, double y1, double x2, double y2, String colour) {
    line(x1, y1, x2, y2, colour, WIDTH_OF_LINES);
  }

  /**
   * @param style name, value, name, value …
   */
  void line(double x1, double y1, double x2, double y2, String colour, String... style) {
    Stream<String> ends =
        Stream.of("x1", number(x1), "y1", number(y1), "x2", number(x2), "y2", number(y2));
    out.empty(
        "line",
        Stream.of(ends, Stream.of("stroke", colour), Stream.of(style))
            .flatMap(each -> each)
            .toArray(String[]::new));
  }

  /** A place as paths write it. */
  String at(double numberX, double numberY) {
    return number(x.at(numberX)) + " " + number(y.at(numberY));
  }

  static String number(double value) {
    return Text.of("%.1f", value);
  }
}
