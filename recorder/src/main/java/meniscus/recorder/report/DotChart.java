package meniscus.recorder.report;

import java.util.List;
import java.util.OptionalDouble;
import java.util.function.DoubleFunction;
import java.util.function.DoubleUnaryOperator;
import meniscus.recorder.report.Canvas.Look;

/** Dots with their intervals over a straight scale, with level lines and a fitted curve. */
record DotChart(Canvas canvas) {
  static final double HEIGHT = 300;
  private static final double LEFT = 80;
  private static final double RIGHT = 64;
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
            new Canvas(
                out,
                Axis.round(lowX, highX, LEFT, Canvas.WIDTH - RIGHT),
                Axis.round(lowY, highY, HEIGHT - Canvas.BOTTOM, Canvas.TOP)));
    Canvas.open(out, HEIGHT, title);
    chart.canvas.ticks(xLabel, style(""));
    chart.canvas.names(xTitle, yTitle);
    levels.forEach(chart::level);
    return chart;
  }

  private static double middleHalf(List<Dot> dots) {
    double[] halves = dots.stream().mapToDouble(dot -> dot.half.orElse(0)).sorted().toArray();
    return halves.length == 0 ? 0 : halves[halves.length / 2];
  }

  private void level(Level level) {
    double at = y().at(level.y);
    canvas.line(x().from(), at, x().to(), at, Canvas.INK, style(level.dash));
    canvas.label(level.word, x().to() + 6, at + 4, "start");
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
      path.append(i == 0 ? "M" : "L").append(canvas.at(at, within(middle)));
      band.append(i == 0 ? "M" : "L").append(canvas.at(at, within(middle + width)));
      back.insert(0, "L" + canvas.at(at, within(middle - width)));
    }
    Markup out = canvas.out();
    out.empty("path", "d", band.toString() + back + "Z", "fill", "#d9d9d9", "fill-opacity", "0.6");
    out.empty("path", "d", path.toString(), "fill", "none", "stroke", "#1a1a1a");
    return this;
  }

  /** All dots, and the end of the drawing. */
  void dots(List<Dot> dots) {
    for (Dot dot : dots) {
      Look look = Look.of(dot.look);
      double cx = x().at(dot.x);
      dot.half.ifPresent(
          half -> {
            double low = y().at(within(dot.y - half));
            canvas.line(cx, y().at(within(dot.y + half)), cx, low, look.colour, style(""));
          });
      if (dot.y != within(dot.y)) {
        canvas.label(dot.y > y().high() ? "↑" : "↓", cx, y().at(within(dot.y)) + 4, "middle");
        continue;
      }
      canvas.marker(cx, y().at(dot.y), look, false);
      if (dot.marked) {
        canvas.ring(cx, y().at(dot.y));
      }
    }
    canvas.out().close().line();
  }

  private double within(double value) {
    return Math.max(y().low(), Math.min(value, y().high()));
  }

  private static String[] style(String dash) {
    return new String[] {"stroke-dasharray", dash.isEmpty() ? "none" : dash};
  }

  private Axis x() {
    return canvas.x();
  }

  private Axis y() {
    return canvas.y();
  }
}
