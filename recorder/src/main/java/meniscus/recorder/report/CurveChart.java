package meniscus.recorder.report;

import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;

/** Flow against lift: curves with their intervals, and the band in which a change is none. */
final class CurveChart {

  private static final double WIDTH = 720;
  private static final double HEIGHT = 400;
  private static final double LEFT = 64;
  private static final double RIGHT = 16;
  private static final double TOP = 16;
  private static final double BOTTOM = 48;

  /**
   * One value, in the units that are shown.
   *
   * @param half half-width of its interval, or of the band
   */
  record Point(double x, double y, OptionalDouble half) {}

  /** One curve with its look. */
  record Curve(String name, Look look, List<Point> points) {}

  /** Colour (Okabe and Ito), dash and marker: never colour alone. */
  enum Look {
    LATER("#0072b2", "", "circle"),
    EARLIER("#d55e00", "7 5", "square"),
    THIRD("#007a5a", "2 4", "diamond"),
    FOURTH("#8a4f7d", "10 4 2 4", "triangle");

    final String colour;
    final String dash;
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

  private final Markup out;
  private final Axis x;
  private final Axis y;

  private CurveChart(Markup out, List<Curve> curves, List<Point> band) {
    this.out = out;
    double lowX = 0;
    double highX = 0;
    double highY = 0;
    for (Curve curve : curves) {
      for (Point point : curve.points) {
        highX = Math.max(highX, point.x);
        highY = Math.max(highY, point.y + point.half.orElse(0));
      }
    }
    for (Point point : band) {
      highY = Math.max(highY, point.y + point.half.orElse(0));
    }
    this.x = Axis.round(lowX, highX, LEFT, WIDTH - RIGHT);
    this.y = Axis.round(0, highY, HEIGHT - BOTTOM, TOP);
  }

  /**
   * @param title read out by screen readers
   * @param band around the earlier curve; may be empty
   */
  static void draw(
      Markup out,
      String title,
      String lift,
      String flow,
      List<Curve> curves,
      List<Point> band,
      String bandName) {
    CurveChart chart = new CurveChart(out, curves, band);
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
    chart.grid(lift, flow);
    chart.band(band);
    curves.forEach(chart::curve);
    chart.legend(curves, band.isEmpty() ? "" : bandName);
    out.close().line();
  }

  private void grid(String lift, String flow) {
    for (double tick : x.ticks()) {
      line(x.at(tick), TOP, x.at(tick), HEIGHT - BOTTOM, "#e3e3e3", 1);
      label(x.label(tick), x.at(tick), HEIGHT - BOTTOM + 18, "middle");
    }
    for (double tick : y.ticks()) {
      line(LEFT, y.at(tick), WIDTH - RIGHT, y.at(tick), "#e3e3e3", 1);
      label(y.label(tick), LEFT - 8, y.at(tick) + 4, "end");
    }
    line(LEFT, HEIGHT - BOTTOM, WIDTH - RIGHT, HEIGHT - BOTTOM, "#444444", 1.2);
    line(LEFT, TOP, LEFT, HEIGHT - BOTTOM, "#444444", 1.2);
    label("valve lift, " + lift, (LEFT + WIDTH - RIGHT) / 2, HEIGHT - 10, "middle");
    out.leaf(
        "text",
        "flow, " + flow,
        "x",
        "16",
        "y",
        number((TOP + HEIGHT - BOTTOM) / 2),
        "text-anchor",
        "middle",
        "transform",
        "rotate(-90 16 " + number((TOP + HEIGHT - BOTTOM) / 2) + ")");
  }

  private void band(List<Point> band) {
    if (band.isEmpty()) {
      return;
    }
    StringBuilder path = new StringBuilder();
    for (Point p : band) {
      path.append(path.length() == 0 ? "M" : "L").append(at(p.x, p.y + p.half.orElse(0)));
    }
    for (int i = band.size() - 1; i >= 0; i--) {
      Point p = band.get(i);
      path.append("L").append(at(p.x, p.y - p.half.orElse(0)));
    }
    out.empty(
        "path", "d", path + "Z", "fill", "#d9d9d9", "stroke", "#9a9a9a", "stroke-width", "0.8");
  }

  private void curve(Curve curve) {
    Look look = curve.look;
    StringBuilder path = new StringBuilder();
    for (Point p : curve.points) {
      path.append(path.length() == 0 ? "M" : "L").append(at(p.x, p.y));
    }
    if (path.length() > 0) {
      out.empty(
          "path",
          "d",
          path.toString(),
          "fill",
          "none",
          "stroke",
          look.colour,
          "stroke-width",
          "2",
          "stroke-dasharray",
          look.dash.isEmpty() ? "none" : look.dash);
    }
    for (Point p : curve.points) {
      if (p.half.isPresent()) {
        double top = y.at(p.y + p.half.getAsDouble());
        double bottom = y.at(p.y - p.half.getAsDouble());
        line(x.at(p.x), top, x.at(p.x), bottom, look.colour, 1.4);
        line(x.at(p.x) - 4, top, x.at(p.x) + 4, top, look.colour, 1.4);
        line(x.at(p.x) - 4, bottom, x.at(p.x) + 4, bottom, look.colour, 1.4);
      }
      marker(look, x.at(p.x), y.at(p.y));
    }
  }

  private void marker(Look look, double cx, double cy) {
    out.empty(
        "path",
        "d",
        shape(look),
        "transform",
        "translate(" + number(cx) + " " + number(cy) + ")",
        "fill",
        look == Look.LATER ? look.colour : "#ffffff",
        "stroke",
        look.colour,
        "stroke-width",
        "1.6");
  }

  /** Outline of a look's marker, around the origin. */
  static String shape(Look look) {
    return switch (look.marker) {
      case "square" -> "M-4 -4H4V4H-4Z";
      case "diamond" -> "M0 -5L5 0L0 5L-5 0Z";
      case "triangle" -> "M0 -5L5 4H-5Z";
      default -> "M-4 0A4 4 0 1 1 4 0A4 4 0 1 1 -4 0Z";
    };
  }

  private void legend(List<Curve> curves, String bandName) {
    double top = HEIGHT - BOTTOM - 18 - 20.0 * (curves.size() + (bandName.isEmpty() ? 0 : 1));
    double left = WIDTH - RIGHT - 320;
    for (Curve curve : curves) {
      top += 20;
      out.empty(
          "path",
          "d",
          "M" + number(left) + " " + number(top - 4) + "h36",
          "stroke",
          curve.look.colour,
          "stroke-width",
          "2",
          "stroke-dasharray",
          curve.look.dash.isEmpty() ? "none" : curve.look.dash);
      marker(curve.look, left + 18, top - 4);
      label(shortened(curve.name), left + 46, top, "start");
    }
    if (!bandName.isEmpty()) {
      top += 20;
      out.empty(
          "rect",
          "x",
          number(left),
          "y",
          number(top - 11),
          "width",
          "36",
          "height",
          "12",
          "fill",
          "#d9d9d9",
          "stroke",
          "#9a9a9a");
      label(bandName, left + 46, top, "start");
    }
  }

  private static String shortened(String name) {
    int longest = 40;
    return name.codePointCount(0, name.length()) <= longest
        ? name
        : name.substring(0, name.offsetByCodePoints(0, longest - 1)) + "…";
  }

  private void line(double x1, double y1, double x2, double y2, String colour, double width) {
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
        "stroke-width",
        number(width));
  }

  private void label(String text, double atX, double atY, String anchor) {
    out.leaf("text", text, "x", number(atX), "y", number(atY), "text-anchor", anchor);
  }

  private String at(double numberX, double numberY) {
    return number(x.at(numberX)) + " " + number(y.at(numberY));
  }

  static String number(double value) {
    return String.format(Locale.ROOT, "%.1f", value);
  }
}
