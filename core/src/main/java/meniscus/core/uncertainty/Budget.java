package meniscus.core.uncertainty;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;

/**
 * The uncertainty budget of one value after JCGM 100:2008: linear propagation, Welch-Satterthwaite
 * degrees of freedom, expanded value. Contributions with the same shared id are one and the same
 * error and add with their signs; all others are independent and add in squares.
 *
 * @param contributions in any order
 */
public record Budget(List<Contribution> contributions) {

  /**
   * One error of the budget, contributions with the same shared id already added.
   *
   * @param source of its largest contribution
   * @param kind of its largest contribution
   * @param effect signed, in the value's SI unit
   * @param degreesOfFreedom of its largest contribution
   * @param sharedId empty when it is this value's own
   */
  public record Part(
      String source,
      Contribution.Kind kind,
      double effect,
      double degreesOfFreedom,
      String sharedId) {
    double variance() {
      return effect * effect;
    }
  }

  public Budget {
    contributions = List.copyOf(contributions);
  }

  /** The independent errors, largest effect first. */
  public List<Part> largestFirst() {
    Map<String, List<Contribution>> shared = new LinkedHashMap<>();
    List<Part> parts = new ArrayList<>();
    for (Contribution c : contributions) {
      if (c.sharedId().isEmpty()) {
        parts.add(part(List.of(c)));
      } else {
        shared.computeIfAbsent(c.sharedId(), id -> new ArrayList<>()).add(c);
      }
    }
    shared.values().forEach(group -> parts.add(part(group)));
    parts.sort(Comparator.comparingDouble(Part::variance).reversed());
    return parts;
  }

  private static Part part(List<Contribution> group) {
    Contribution largest =
        group.stream().max(Comparator.comparingDouble(c -> Math.abs(c.effect()))).orElseThrow();
    double effect = group.stream().mapToDouble(Contribution::effect).sum();
    return new Part(
        largest.source(), largest.kind(), effect, largest.degreesOfFreedom(), largest.sharedId());
  }

  /** Combined standard uncertainty (JCGM 100:2008 eq. 10 and 13), in the value's SI unit. */
  public double standardUncertainty() {
    return Math.sqrt(variance());
  }

  private double variance() {
    return largestFirst().stream().mapToDouble(Part::variance).sum();
  }

  /**
   * Effective degrees of freedom (Welch-Satterthwaite, JCGM 100:2008 eq. G.2b); infinite when no
   * contribution has a finite number, or when there is no uncertainty at all.
   */
  public double effectiveDegreesOfFreedom() {
    double fourth = 0;
    for (Part part : largestFirst()) {
      fourth += part.variance() * part.variance() / part.degreesOfFreedom();
    }
    double variance = variance();
    return fourth > 0 ? variance * variance / fourth : Double.POSITIVE_INFINITY;
  }

  /** Half-width of the interval that covers the true value with this level, 0.95 for 95 %. */
  public double expanded(double level) {
    return Coverage.factor(level, effectiveDegreesOfFreedom()) * standardUncertainty();
  }

  /** Half-width of the 95 % interval, in the value's SI unit. */
  public double u95() {
    return expanded(0.95);
  }

  /** What differs from one reading of the same set-up to the next. */
  public Budget repeat() {
    return only(c -> c.kind() == Contribution.Kind.REPEAT);
  }

  public Budget only(Predicate<Contribution> wanted) {
    return new Budget(contributions.stream().filter(wanted).toList());
  }

  /**
   * Covariance with another value through the errors they share (JCGM 100:2008 F.1.2.3): the sum
   * over shared ids of the product of effects.
   */
  public double covariance(Budget other) {
    Map<String, Double> effects = other.sharedEffects();
    double sum = 0;
    for (Map.Entry<String, Double> mine : sharedEffects().entrySet()) {
      sum += mine.getValue() * effects.getOrDefault(mine.getKey(), 0.0);
    }
    return sum;
  }

  private Map<String, Double> sharedEffects() {
    Map<String, Double> effects = new LinkedHashMap<>();
    for (Contribution c : contributions) {
      if (!c.sharedId().isEmpty()) {
        effects.merge(c.sharedId(), c.effect(), Double::sum);
      }
    }
    return effects;
  }

  /** The budget of a value that is this one times a constant. */
  public Budget times(double factor) {
    return new Budget(
        contributions.stream()
            .map(
                c ->
                    new Contribution(
                        c.source(),
                        c.kind(),
                        c.standardUncertainty(),
                        c.degreesOfFreedom(),
                        c.sensitivity() * factor,
                        c.sharedId()))
            .toList());
  }

  /**
   * The budget as a table, largest first: what it does to the value (one standard uncertainty), its
   * share of the variance, what it comes from, and what it sticks to.
   *
   * @param name of the value
   * @param valueSi the value [SI]
   * @param unit to print in
   */
  public String table(String name, double valueSi, Unit unit) {
    double perUnit = Math.abs(unit.fromSi(1) - unit.fromSi(0));
    double u95 = u95() * perUnit;
    int decimals = decimals(u95);
    String number = "%." + decimals + "f";
    StringBuilder text = new StringBuilder();
    text.append(
        Text.of(
            "%s " + number + " %s ± " + number + " (95 %%), of it ± " + number + " fluctuation%n",
            name,
            unit.fromSi(valueSi),
            unit.symbol(),
            u95,
            repeat().u95() * perUnit));
    text.append(Text.of("%14s  %5s  %s%n", "± " + unit.symbol(), "share", "from"));
    double variance = variance();
    bySource()
        .forEach(
            (source, own) ->
                text.append(
                    Text.of(
                        "%14." + (decimals + 1) + "f  %3.0f %%  %s%n",
                        Math.sqrt(own) * perUnit,
                        variance > 0 ? 100 * own / variance : 0,
                        source)));
    return text.toString();
  }

  /** Variance [SI²] by source and kind in words, errors of the same name added, largest first. */
  public Map<String, Double> bySource() {
    Map<String, Double> bySource = new LinkedHashMap<>();
    for (Part part : largestFirst()) {
      bySource.merge(part.source() + " (" + part.kind().word() + ")", part.variance(), Double::sum);
    }
    Map<String, Double> sorted = new LinkedHashMap<>();
    bySource.entrySet().stream()
        .sorted(Map.Entry.<String, Double>comparingByValue().reversed())
        .forEach(entry -> sorted.put(entry.getKey(), entry.getValue()));
    return sorted;
  }

  /** Decimals that show an uncertainty with two digits. */
  private static int decimals(double u95) {
    return u95 > 0 ? Math.max(0, Math.min(9, 1 - (int) Math.floor(Math.log10(u95)))) : 3;
  }
}
