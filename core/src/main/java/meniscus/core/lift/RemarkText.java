package meniscus.core.lift;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.lift.Remark.Kind;

/**
 * The sentences of remarks: the one place that makes them and reads them back, from points.csv and
 * the journal. Numbers come back as they were printed.
 */
public final class RemarkText {

  private static final String NUMBER = "(-?[0-9]+(?:\\.[0-9]+)?|NaN|-?Infinity)";

  private RemarkText() {}

  /** A sentence with places for what a remark holds: its name first, then its numbers. */
  private record Form(Kind kind, String format, Pattern pattern) {
    Form(Kind kind, String format) {
      this(kind, format, Pattern.compile(asPattern(format), Pattern.DOTALL));
    }

    private static String asPattern(String format) {
      Matcher place = Pattern.compile("%(s|\\.\\df)").matcher(format);
      StringBuilder pattern = new StringBuilder();
      int from = 0;
      while (place.find()) {
        pattern.append(Pattern.quote(format.substring(from, place.start())));
        pattern.append(place.group(1).equals("s") ? "(.+)" : NUMBER);
        from = place.end();
      }
      return pattern.append(Pattern.quote(format.substring(from))).toString();
    }

    boolean named() {
      return format.contains("%s");
    }

    Optional<Remark> read(String sentence) {
      Matcher matcher = pattern.matcher(sentence);
      if (!matcher.matches()) {
        return Optional.empty();
      }
      int first = named() ? 2 : 1;
      List<Double> numbers = new ArrayList<>();
      for (int i = first; i <= matcher.groupCount(); i++) {
        numbers.add(Double.parseDouble(matcher.group(i)));
      }
      return Optional.of(new Remark(kind, named() ? matcher.group(1) : "", numbers));
    }
  }

  private static final Map<Kind, Form> FORMS = new EnumMap<>(Kind.class);

  static {
    form(Kind.READ_BY_EYE, "%s read by eye: fluctuation, jumps and drift cannot be seen");
    form(Kind.MOTOR_HEAT_ASSUMED, "no thermometer in the plenum: motor heat assumed");
    form(Kind.AIR_MISSING, "%s is missing: nothing was read for %.0f s, the last reading stands");
    form(
        Kind.DROP_IN_THE_NOISE,
        "the drop over the flow element, %.2f Pa, is below three times the noise of its gauge"
            + " (%.2f Pa): choose a smaller range");
    form(
        Kind.BEYOND_THE_CURVE,
        "the drop over the flow element, %.1f Pa, lies outside its curve: extrapolated");
    form(
        Kind.BEYOND_THE_CALIBRATION,
        "the drop over the flow element, %.1f Pa, lies outside the calibrated %.0f to %.0f Pa:"
            + " extrapolated");
    form(Kind.BAROMETER, "barometer: %s");
    form(
        Kind.AIR_OUT_OF_RANGE,
        "air of %.1f °C and %.0f hPa: its density is stated for 15 to 27 °C and 600 to 1100 hPa"
            + " (CIPM-2007), and is less sure here");
    form(Kind.SET_ASIDE, "set aside: %s");
    form(Kind.SAID, "%s");
  }

  private static void form(Kind kind, String format) {
    FORMS.put(kind, new Form(kind, format));
  }

  public static String sentence(Remark remark) {
    Form form = FORMS.get(remark.kind());
    List<Object> places = new ArrayList<>();
    if (form.named()) {
      places.add(remark.name());
    }
    places.addAll(remark.numbers());
    return String.format(Locale.ROOT, form.format(), places.toArray());
  }

  /** What a sentence remarks; {@code SAID} when it is none of today's. */
  public static Remark remark(String sentence) {
    return FORMS.values().stream()
        .flatMap(form -> form.read(sentence).stream())
        .findFirst()
        .orElseGet(() -> Remark.said(sentence));
  }
}
