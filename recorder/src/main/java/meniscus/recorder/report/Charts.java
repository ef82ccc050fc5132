package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.refusal.Refusal;

/** The charts of a report, each as a file of its own, and a card with the result in big type. */
public final class Charts {

  /** Our own choice: sharp on paper and on a screen of the usual width. */
  private static final int PNG_WIDTH = 1600;

  private Charts() {}

  /**
   * One chart.
   *
   * @param name of its file, without an ending: {@code flow}, {@code change}, {@code card}
   * @param svg the drawing, complete by itself
   */
  public record Chart(String name, String svg) {

    /**
     * The same as a picture of dots.
     *
     * @throws Refusal where this computer has no fonts, or its Java nothing, to draw with
     */
    public byte[] png() {
      try {
        return ChartImage.png(svg, PNG_WIDTH);
      } catch (NoClassDefFoundError e) {
        throw new Refusal(
            "the Java that runs this cannot draw a PNG, such as the one in the packages: use the"
                + " SVG, or run meniscus.jar with a whole Java",
            e);
      }
    }
  }

  /**
   * @param tests by themselves; not looked at where there is a comparison
   */
  public static List<Chart> of(List<TestRead> tests, Optional<Report.Compared> compared) {
    List<Chart> charts = new ArrayList<>();
    if (compared.isPresent()) {
      charts.add(new Chart("flow", alone(Drawings.flow(compared.get(), List.of()))));
      charts.add(new Chart("change", alone(Drawings.change(compared.get().comparison()))));
      List<TestRead> after = compared.get().after();
      charts.add(
          new Chart(
              "card",
              ResultCard.of(
                  after.get(after.size() - 1), Optional.of(compared.get().comparison()))));
    } else {
      charts.add(new Chart("flow", alone(Drawings.flow(tests, List.of()))));
      charts.add(new Chart("card", ResultCard.of(tests.get(tests.size() - 1), Optional.empty())));
    }
    return charts;
  }

  /** A drawing that needs no page around it: with its own size, ground and letters. */
  private static String alone(CurveChart.Drawing drawing) {
    Markup out = new Markup();
    CurveChart.draw(out, drawing);
    return alone(out.toString(), drawing.height());
  }

  /** The same of what is drawn already. */
  static String alone(String svg, double height) {
    int body = svg.indexOf('>') + 1;
    return "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\""
        + Canvas.number(Canvas.WIDTH)
        + "\" height=\""
        + Canvas.number(height)
        + "\" font-family=\"sans-serif\" font-size=\"13\" fill=\"#1a1a1a\" "
        + svg.substring("<svg ".length(), body)
        + "<rect x=\"0\" y=\"0\" width=\""
        + Canvas.number(Canvas.WIDTH)
        + "\" height=\""
        + Canvas.number(height)
        + "\" fill=\"#ffffff\" stroke=\"none\"/>"
        + svg.substring(body);
  }
}
