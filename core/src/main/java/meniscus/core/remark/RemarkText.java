package meniscus.core.remark;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.quantity.Text;
import meniscus.core.remark.Remark.Kind;

/**
 * The sentences of remarks: the one place that makes them and reads them back, from points.csv and
 * the journal. Numbers come back as they were printed.
 */
public final class RemarkText {

  private static final String NUMBER =
      "([+-]?[0-9]+(?:\\.[0-9]+)?(?:e[+-]?[0-9]+)?|NaN|[+-]?Infinity)";

  private RemarkText() {}

  /** A sentence with places for what a remark holds. */
  private static final class Form {
    private static final Pattern PLACE = Pattern.compile("%(s|%|\\+?\\.\\d[fg])");

    private final Kind kind;
    private final String format;
    private final Pattern pattern;
    private final List<Boolean> named = new ArrayList<>();

    Form(Kind kind, String format) {
      this.kind = kind;
      this.format = format;
      Matcher place = PLACE.matcher(format);
      StringBuilder words = new StringBuilder();
      int from = 0;
      while (place.find()) {
        words.append(Pattern.quote(format.substring(from, place.start())));
        from = place.end();
        if (place.group(1).equals("%")) {
          words.append('%');
        } else {
          boolean name = place.group(1).equals("s");
          named.add(name);
          words.append(name ? "(.+)" : NUMBER);
        }
      }
      words.append(Pattern.quote(format.substring(from)));
      pattern = Pattern.compile(words.toString(), Pattern.DOTALL);
    }

    String sentence(Remark remark) {
      Iterator<String> names = remark.names().iterator();
      Iterator<Double> numbers = remark.numbers().iterator();
      Object[] places = named.stream().map(name -> name ? names.next() : numbers.next()).toArray();
      return Text.of(format, places);
    }

    Optional<Remark> read(String sentence) {
      Matcher matcher = pattern.matcher(sentence);
      if (!matcher.matches()) {
        return Optional.empty();
      }
      List<String> names = new ArrayList<>();
      List<Double> numbers = new ArrayList<>();
      for (int i = 0; i < named.size(); i++) {
        String place = matcher.group(i + 1);
        if (named.get(i)) {
          names.add(place);
        } else {
          numbers.add(Double.parseDouble(place));
        }
      }
      Remark read = new Remark(kind, names, numbers);
      return sentence(read).equals(sentence) ? Optional.of(read) : Optional.empty();
    }
  }

  /** What wants a reading to last longer; the last of its numbers says how long. */
  private static final Set<Kind> TOO_SHORT =
      EnumSet.of(Kind.TOO_BRIEF, Kind.NOTHING_USABLE, Kind.SWITCHING_MAY_BE_MISSED);

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
    form(Kind.SPIKES, "%.0f of %.0f readings are spikes");
    form(Kind.DROPPING_OUT, "no readings for %.1f s: the instrument is dropping out");
    form(Kind.READINGS_MISSING, "%.0f %% of the readings are missing");
    form(Kind.OUTSIDE_THE_RANGE, "%.0f of %.0f readings are outside the gauge's range");
    form(
        Kind.SATURATED,
        "%.0f of %.0f readings stand at the %s end of the gauge's range: it is saturated");
    form(
        Kind.CLIPPED,
        "%.0f of %.0f readings are exactly %.6g, the %s seen: the gauge is saturated");
    form(
        Kind.STUCK,
        "the reading stood at %.6g for %.1f s without moving, though its resolution is %.6g:"
            + " stuck");
    form(
        Kind.STUCK_SOMEWHERE,
        "the reading stood at one value for %.1f s without moving, though its resolution is %.6g:"
            + " stuck");
    form(
        Kind.FLOW_STANDS_STILL,
        "the flow has stood still for %.1f s, as no air does: a gauge is stuck");
    form(
        Kind.FROZEN,
        "the gauge of the %s has shown %.6g %s for %.0f s without moving, though its smallest step"
            + " is %.2g %s: it is stuck; see to its tubing and cable, switch it off and on");
    form(Kind.TOO_BRIEF, "only %.1f s of usable readings; %.0f s are needed");
    form(Kind.NOTHING_USABLE, "no usable readings yet; %.0f s are needed");
    form(
        Kind.SWITCHING_MAY_BE_MISSED,
        "only %.1f s of the %.0f s that a full verdict takes: slow switching may be missed");
    form(
        Kind.TOO_BRIEF_ALONE,
        "only %.1f s of the %.0f s that tell slow fluctuation where no calm record knows it");
    form(Kind.NOT_PRECISE, "the asked ±%.2g %% is not reached: ±%.2g %%");
    form(
        Kind.JUMPS,
        "jumps between levels %+.1f %% and %+.1f %% from the mean, %.0f %% of the time at the"
            + " higher, staying about %.1f s and %.1f s, %.0f jumps");
    form(Kind.LEVEL_MOVED, "the level moved by %.2g %% and does not come to rest");
    form(Kind.LEVEL_MOVES, "the level still has %.2g %% to go");
    form(
        Kind.NOT_TOLD_FROM_ZERO,
        "the level cannot be told from zero: its fluctuation is compared with nothing");
    String times = " is %.2f times the calm record's, limit %.2f";
    form(Kind.ROUGH, "fluctuation from block to block" + times);
    form(Kind.ROUGH_QUICKLY, "quick fluctuation" + times);
    form(Kind.ROUGH_SLOWLY, "slow fluctuation (1 s means)" + times);
    form(
        Kind.LEVEL_WANDERS,
        "the level wanders by about %.1f %%, beyond the calm record: rougher air, or two levels too"
            + " near to be told apart");
    form(
        Kind.WANDERS_UNHEALTHILY,
        "the level wanders by %.1f %% from second to second and %.1f %% from block to block, more"
            + " than a healthy bench does (%.0f %% and %.0f %%)");
    form(Kind.NO_CALM_RECORD, "no calm record: fluctuation is not compared with the bench's own");
    form(
        Kind.UNLIKE_THE_CALM_RECORD,
        "the noise is unlike the calm record: averaged on its own evidence (if a plate shows it"
            + " too, take a new calm record)");
    form(
        Kind.MAINS_RIPPLE,
        "mains ripple of %.2g %%, seen at %.3g Hz: taken out; look at earth, shield and supply of"
            + " the gauge");
    form(Kind.SPIKES_CUT, "%.0f of %.0f readings cut out as spikes");
    form(Kind.READINGS_DROPPED, "%.1f %% of the readings were dropped, the longest gap %.2f s");
    form(Kind.COARSE_GAUGE, "the gauge counts in steps of %.2g %%: less than that cannot be seen");
    form(Kind.SLOW_GAUGE, "cannot see fluctuation above %.2g Hz");
    form(
        Kind.COULD_HIDE,
        "jumps of up to %.2g %% that stay about 1 s, or faster ones, would not show; a longer"
            + " reading or a quicker, finer gauge would show them");
    String mains = "at %.4g readings/s a %.0f Hz mains ripple would look like ";
    String removal = ": averaging may not remove it";
    form(Kind.MAINS_COULD_SHIFT, mains + "a steady shift" + removal);
    form(Kind.MAINS_COULD_SWING, mains + "a swing of %.2g Hz" + removal);
    form(Kind.SAID, "%s");
  }

  private static void form(Kind kind, String format) {
    FORMS.put(kind, new Form(kind, format));
  }

  /** For people, and as it is written in points.csv. */
  public static String sentence(Remark remark) {
    return FORMS.get(remark.kind()).sentence(remark);
  }

  /**
   * For people, of a reading as it goes: that it is too short is said once, by the longest time.
   */
  public static List<String> sentences(List<Remark> remarks) {
    double longest =
        remarks.stream()
            .filter(remark -> TOO_SHORT.contains(remark.kind()))
            .mapToDouble(RemarkText::wanted)
            .max()
            .orElse(0);
    return remarks.stream()
        .filter(remark -> remark.kind() != Kind.TOO_BRIEF_ALONE || wanted(remark) > longest)
        .map(RemarkText::sentence)
        .toList();
  }

  private static double wanted(Remark remark) {
    return remark.numbers().get(remark.numbers().size() - 1);
  }

  /** What a sentence remarks; {@code SAID} when it is none of today's. */
  public static Remark remark(String sentence) {
    return FORMS.values().stream()
        .flatMap(form -> form.read(sentence).stream())
        .findFirst()
        .orElseGet(() -> Remark.said(sentence));
  }
}
