package meniscus.recorder.report;

import java.util.List;
import java.util.OptionalDouble;
import java.util.function.DoubleFunction;
import java.util.function.DoubleUnaryOperator;
import meniscus.recorder.report.Canvas.Look;

/** Dots with their intervals over a straight scale, with level lines and a fitted curve. */
record DotChart(Markup out, Axis x, Axis y) {
  private static final double WIDTH = 720;
  static final double HEIGHT = 300;
  private static final double LEFT = 80;
  private static final double RIGHT = 64;
  private static final double TOP = 16;
  private static final double BOTTOM = 48;
  private static final int CURVE_STEPS = 60;

  /** An interval longer than this many of the middle one runs off the scale. */
  private static final double LONGEST_OVER_MIDDLE = 6;

  /**
   * One dot.
   *
   * @param half half-width of its interval
   * @param marked drawn with a ring around it
   */
  record Dot(double x, double y, OptionalDouble half, int look, boolean marked) {}

  /** A level line with a word at its end. */
  record Level(double y, String word, String dash) {}

  /**
   * Opens the drawing, with room for all levels and for all dots but those whose interval is many
   * times longer than most: these run off the scale, so that the others can be told apart.
   */
  static DotChart open(
      Markup out,
      String title,
      String xTitle,
      String yTitle,
      List<Dot> dots,
      List<Level> levels,
      DoubleFunction<String> xLabel) {
    double lowX = dots.stream().mapToDouble(Dot::x).min().orElse(0);
    double highX = dots.stream().mapToDouble(Dot::x).max().orElse(1);
    double lowY = Double.POSITIVE_INFINITY;
    double highY = Double.NEGATIVE_INFINITY;
    double longest = LONGEST_OVER_MIDDLE * middleHalf(dots);
    for (Dot dot : dots) {
      if (dot.half.orElse(0) <= longest) {
        lowY = Math.min(lowY, dot.y - dot.half.orElse(0));
        highY = Math.max(highY, dot.y + dot.half.orElse(0));
      }
    }
    for (Level level : levels) {
      lowY = Math.min(lowY, level.y);
      highY = Math.max(highY, level.y);
    }
    DotChart chart =
        new DotChart(
            out,
            Axis.round(lowX, highX, LEFT, WIDTH - RIGHT),
            Axis.round(lowY, highY, HEIGHT - BOTTOM, TOP));
    out.open(
        "svg",
        "class",
        "chart",
        "viewBox",
        "0 0 " + number(WIDTH) + " " + number(HEIGHT),
        "role",
        "img",
        "aria-label",
        title);
    chart.grid(xTitle, yTitle, xLabel);
    levels.forEach(chart::level);
    return chart;
  }

  private static double middleHalf(List<Dot> dots) {
    double[] halves = dots.stream().mapToDouble(dot -> dot.half.orElse(0)).sorted().toArray();
    return halves.length == 0 ? 0 : halves[halves.length / 2];
  }

  private void grid(String xTitle, String yTitle, DoubleFunction<String> xLabel) {
    for (double tick : x.ticks()) {
      line(x.at(tick), TOP, x.at(tick), HEIGHT - BOTTOM, "#e3e3e3", "");
      label(xLabel.apply(tick), x.at(tick), HEIGHT - BOTTOM + 18, "middle");
    }
    for (double tick : y.ticks()) {
      line(LEFT, y.at(tick), WIDTH - RIGHT, y.at(tick), "#e3e3e3", "");
      label(y.label(tick), LEFT - 8, y.at(tick) + 4, "end");
    }
    label(xTitle, (LEFT + WIDTH - RIGHT) / 2, HEIGHT - 10, "middle");
    double middle = (TOP + HEIGHT - BOTTOM) / 2;
    out.leaf(
        "text",
        yTitle,
        "x",
        "16",
        "y",
        number(middle),
        "text-anchor",
        "middle",
        "transform",
        "rotate(-90 16 " + number(middle) + ")");
  }

  private void level(Level level) {
    line(LEFT, y.at(level.y), WIDTH - RIGHT, y.at(level.y), "#444444", level.dash);
    label(level.word, WIDTH - RIGHT + 6, y.at(level.y) + 4, "start");
  }

  /** A curve with its band. */
  DotChart curve(double from, double to, DoubleUnaryOperator value, DoubleUnaryOperator half) {
    StringBuilder band = new StringBuilder();
    StringBuilder back = new StringBuilder();
    StringBuilder path = new StringBuilder();
    for (int i = 0; i <= CURVE_STEPS; i++) {
      double at = from + (to - from) * i / CURVE_STEPS;
      double middle = value.applyAsDouble(at);
      double width = half.applyAsDouble(at);
      path.append(i == 0 ? "M" : "L").append(point(at, within(middle)));
      band.append(i == 0 ? "M" : "L").append(point(at, within(middle + width)));
      back.insert(0, "L" + point(at, within(middle - width)));
    }
    out.empty("path", "d", band.toString() + back + "Z", "fill", "#d9d9d9", "fill-opacity", "0.6");
    out.empty("path", "d", path.toString(), "fill", "none", "stroke", "#1a1a1a");
    return this;
  }

  /** All dots, and the end of the drawing. */
  void dots(List<Dot> dots) {
    for (Dot dot : dots) {
      Look look = Look.of(dot.look);
      double cx = x.at(dot.x);
      dot.half.ifPresent(
          half ->
              line(
                  cx, y.at(within(dot.y + half)), cx, y.at(within(dot.y - half)), look.colour, ""));
      if (dot.y != within(dot.y)) {
        label(dot.y > y.high() ? "↑" : "↓", cx, y.at(within(dot.y)) + 4, "middle");
        continue;
      }
      marker(look, cx, y.at(dot.y));
      if (dot.marked) {
        out.empty(
            "circle",
            "cx",
            number(cx),
            "cy",
            number(y.at(dot.y)),
            "r",
            "9",
            "fill",
            "none",
            "stroke",
            "#a84300",
            "stroke-width",
            "2");
      }
    }
    out.close().line();
  }

  private double within(double value) {
    return Math.max(y.low(), Math.min(value, y.high()));
  }

  private void marker(Look look, double cx, double cy) {
    out.empty(
        "path",
        "d",
        look.marker,
        "transform",
        "translate(" + number(cx) + " " + number(cy) + ")",
        "fill",
        "#ffffff",
        "stroke",
        look.colour,
        "stroke-width",
        "1.6");
  }

  private void line(double x1, double y1, double x2, double y2, String colour, String dash) {
    out.empty(
        "line",
        "x1",
        number(x1),
        "y1",
        number(y1),
        "x2",
        number(x2),
        "y2",
        number(y2),
        "stroke",
        colour,
        "stroke-dasharray",
        dash.isEmpty() ? "none" : dash);
  }

  private void label(String text, double atX, double atY, String anchor) {
    out.leaf("text", text, "x", number(atX), "y", number(atY), "text-anchor", anchor);
  }

  private String point(double atX, double atY) {
    return number(x.at(atX)) + " " + number(y.at(atY));
  }

  private static String number(double value) {
    return Canvas.number(value);
  }
}
