package meniscus.recorder.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.Shape;
import java.awt.geom.AffineTransform;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Scanner;
import javax.imageio.ImageIO;
import javax.xml.parsers.DocumentBuilderFactory;
import javax.xml.parsers.ParserConfigurationException;
import meniscus.core.refusal.Refusal;
import org.w3c.dom.Element;
import org.w3c.dom.Node;
import org.xml.sax.SAXException;

/** Paints the drawings of this package, and only those: lines, boxes, simple paths and words. */
final class ChartImage {

  private final Graphics2D pen;

  private ChartImage(Graphics2D pen) {
    this.pen = pen;
  }

  /**
   * @param svg of {@link Charts}
   * @param width in dots
   * @throws Refusal where there is nothing to draw letters with
   */
  static byte[] png(String svg, int width) {
    System.setProperty("java.awt.headless", "true");
    try {
      Element root =
          DocumentBuilderFactory.newInstance()
              .newDocumentBuilder()
              .parse(new ByteArrayInputStream(svg.getBytes(StandardCharsets.UTF_8)))
              .getDocumentElement();
      double scale = width / number(root, "width", width);
      BufferedImage image =
          new BufferedImage(
              width,
              (int) Math.round(scale * number(root, "height", width)),
              BufferedImage.TYPE_INT_RGB);
      Graphics2D pen = image.createGraphics();
      pen.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
      pen.setRenderingHint(
          RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
      pen.scale(scale, scale);
      new ChartImage(pen).children(root);
      pen.dispose();
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      ImageIO.write(image, "png", out);
      return out.toByteArray();
    } catch (ParserConfigurationException | SAXException | IOException e) {
      throw new IllegalStateException("a drawing of our own is XML", e);
    } catch (NoClassDefFoundError | InternalError | NullPointerException e) {
      // How Java says that a computer without a screen has no fonts either, version by version.
      throw new Refusal(
          "this computer has no fonts to draw a PNG with: install a font (on Debian fontconfig and"
              + " fonts-dejavu-core), or use the SVG",
          e);
    }
  }

  private void children(Element of) {
    for (Node node = of.getFirstChild(); node != null; node = node.getNextSibling()) {
      if (node instanceof Element element) {
        AffineTransform before = pen.getTransform();
        transform(element.getAttribute("transform"));
        paint(element);
        pen.setTransform(before);
      }
    }
  }

  private void transform(String text) {
    if (text.isEmpty()) {
      return;
    }
    double[] n = numbers(text.substring(text.indexOf('(') + 1, text.indexOf(')')));
    if (text.startsWith("translate")) {
      pen.translate(n[0], n[1]);
    } else {
      pen.rotate(Math.toRadians(n[0]), n[1], n[2]);
    }
  }

  private void paint(Element e) {
    switch (e.getTagName()) {
      case "rect" ->
          shape(
              e,
              new Rectangle2D.Double(
                  number(e, "x", 0),
                  number(e, "y", 0),
                  number(e, "width", 0),
                  number(e, "height", 0)));
      case "line" ->
          shape(
              e,
              new Line2D.Double(
                  number(e, "x1", 0), number(e, "y1", 0), number(e, "x2", 0), number(e, "y2", 0)));
      case "path" -> shape(e, path(e.getAttribute("d")));
      case "text" -> text(e);
      default -> children(e);
    }
  }

  private void shape(Element e, Shape shape) {
    boolean line = e.getTagName().equals("line");
    String fill = e.getAttribute("fill");
    if (!line && !fill.isEmpty() && !fill.equals("none")) {
      pen.setColor(Color.decode(fill));
      pen.fill(shape);
    }
    String stroke = e.getAttribute("stroke");
    if (!stroke.isEmpty() && !stroke.equals("none")) {
      pen.setColor(Color.decode(stroke));
      pen.setStroke(stroke(e));
      pen.draw(shape);
    }
  }

  private static BasicStroke stroke(Element e) {
    float width = (float) number(e, "stroke-width", 1);
    String dashes = e.getAttribute("stroke-dasharray");
    if (dashes.isEmpty() || dashes.equals("none")) {
      return new BasicStroke(width);
    }
    double[] n = numbers(dashes);
    float[] dash = new float[n.length];
    for (int i = 0; i < n.length; i++) {
      dash[i] = (float) n[i];
    }
    return new BasicStroke(width, BasicStroke.CAP_BUTT, BasicStroke.JOIN_MITER, 10, dash, 0);
  }

  private void text(Element e) {
    int style = e.getAttribute("font-weight").equals("bold") ? Font.BOLD : Font.PLAIN;
    double size = number(e, "font-size", number((Element) e.getParentNode(), "font-size", 13));
    pen.setFont(new Font(Font.SANS_SERIF, style, 1).deriveFont((float) size));
    String fill = e.getAttribute("fill");
    pen.setColor(Color.decode(fill.isEmpty() ? "#1a1a1a" : fill));
    String words = e.getTextContent();
    double wide = pen.getFont().getStringBounds(words, pen.getFontRenderContext()).getWidth();
    double left =
        switch (e.getAttribute("text-anchor")) {
          case "middle" -> wide / 2;
          case "end" -> wide;
          default -> 0;
        };
    pen.drawString(words, (float) (number(e, "x", 0) - left), (float) number(e, "y", 0));
  }

  /** Moves, straight lines, closing, and the half circles that make a dot. */
  private static Shape path(String d) {
    Path2D path = new Path2D.Double();
    Scanner words = new Scanner(d.replaceAll("([A-Za-z])", " $1 ")).useLocale(Locale.ROOT);
    String command = "";
    double x = 0;
    double y = 0;
    while (words.hasNext()) {
      if (!words.hasNextDouble()) {
        command = words.next();
      }
      switch (command) {
        case "M" -> path.moveTo(x = words.nextDouble(), y = words.nextDouble());
        case "L" -> path.lineTo(x = words.nextDouble(), y = words.nextDouble());
        case "H" -> path.lineTo(x = words.nextDouble(), y);
        case "V" -> path.lineTo(x, y = words.nextDouble());
        case "h" -> path.lineTo(x += words.nextDouble(), y);
        case "A" -> {
          double radius = words.nextDouble();
          for (int i = 0; i < 4; i++) {
            words.nextDouble();
          }
          double toX = words.nextDouble();
          double toY = words.nextDouble();
          path.append(
              new Ellipse2D.Double(
                  (x + toX) / 2 - radius, (y + toY) / 2 - radius, 2 * radius, 2 * radius),
              false);
          path.moveTo(x = toX, y = toY);
        }
        default -> path.closePath();
      }
      if (command.equals("Z")) {
        command = "";
      }
    }
    return path;
  }

  private static double number(Element e, String name, double otherwise) {
    String text = e.getAttribute(name);
    return text.isEmpty() ? otherwise : Double.parseDouble(text);
  }

  private static double[] numbers(String text) {
    return java.util.Arrays.stream(text.strip().split("[ ,]+"))
        .mapToDouble(Double::parseDouble)
        .toArray();
  }
}
