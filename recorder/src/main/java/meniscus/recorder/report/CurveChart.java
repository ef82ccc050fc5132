package meniscus.recorder.report;

import java.util.List;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import meniscus.recorder.report.Canvas.Look;

/** Numbers against lift: curves with their intervals, and the band in which a change is none. */
final class CurveChart {

  /**
   * One value, in the units that are shown.
   *
   * @param half half-width of its interval, or of the band
   */
  record Point(double x, double y, OptionalDouble half) {}

  /** One curve with its look. */
  record Curve(String name, Look look, List<Point> points) {}

  /**
   * What is drawn.
   *
   * @param title read out by screen readers
   * @param height of the drawing
   * @param nameX along the bottom
   * @param nameY up the left side
   * @param band around the earlier curve; may be empty
   */
  record Drawing(
      String title,
      double height,
      String nameX,
      String nameY,
      List<Curve> curves,
      List<Point> band) {}

  private static final double LEGEND_WIDTH = 300;

  private CurveChart() {}

  static void draw(Markup out, Drawing drawing) {
    double highX = 0;
    double lowY = 0;
    double highY = 0;
    for (Point p : all(drawing)) {
      highX = Math.max(highX, p.x);
      lowY = Math.min(lowY, p.y - p.half.orElse(0));
      highY = Math.max(highY, p.y + p.half.orElse(0));
    }
    Canvas canvas =
        new Canvas(
            out,
            new Axis(0, highX * 1.04, Canvas.LEFT, Canvas.WIDTH - Canvas.RIGHT),
            Axis.round(lowY, highY, drawing.height - Canvas.BOTTOM, Canvas.TOP));
    Canvas.open(out, drawing.height, drawing.title);
    canvas.axes(drawing.nameX, drawing.nameY);
    band(canvas, drawing.band);
    if (lowY < 0) {
      canvas.rule(0, 0, canvas.x().high(), 0);
    }
    drawing.curves.forEach(curve -> curve(canvas, curve));
    if (lowY == 0) {
      legend(canvas, drawing);
    }
    out.close().line();
  }

  private static List<Point> all(Drawing drawing) {
    return Stream.concat(
            drawing.curves.stream().flatMap(curve -> curve.points.stream()), drawing.band.stream())
        .toList();
  }

  private static void band(Canvas canvas, List<Point> band) {
    if (band.isEmpty()) {
      return;
    }
    StringBuilder path = new StringBuilder();
    for (Point p : band) {
      path.append(path.length() == 0 ? "M" : "L").append(canvas.at(p.x, p.y + p.half.orElse(0)));
    }
    for (int i = band.size() - 1; i >= 0; i--) {
      Point p = band.get(i);
      path.append("L").append(canvas.at(p.x, p.y - p.half.orElse(0)));
    }
    canvas.band(path + "Z");
  }

  private static void curve(Canvas canvas, Curve curve) {
    StringBuilder path = new StringBuilder();
    for (Point p : curve.points) {
      path.append(path.length() == 0 ? "M" : "L").append(canvas.at(p.x, p.y));
    }
    if (path.length() > 0) {
      canvas.polyline(path.toString(), curve.look);
    }
    for (Point p : curve.points) {
      if (p.half.isPresent()) {
        double half = p.half.getAsDouble();
        canvas.interval(p.x, p.y - half, p.y + half, curve.look);
      }
      canvas.marker(canvas.x().at(p.x), canvas.y().at(p.y), curve.look, curve.look == Look.LATER);
    }
  }

  /** In the lower right corner, which a flow curve leaves free. */
  private static void legend(Canvas canvas, Drawing drawing) {
    int entries = drawing.curves.size() + (drawing.band.isEmpty() ? 0 : 1);
    double left = Canvas.WIDTH - Canvas.RIGHT - LEGEND_WIDTH;
    double top = canvas.y().from() - 18 - 20.0 * (entries - 1);
    for (Curve curve : drawing.curves) {
      canvas.legend(curve.look, curve.name, left, top);
      top += 20;
    }
    if (!drawing.band.isEmpty()) {
      canvas.legend(null, "no real change", left, top);
    }
  }
}
