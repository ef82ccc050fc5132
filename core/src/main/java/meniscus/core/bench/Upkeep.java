package meniscus.core.bench;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.TreeMap;
import meniscus.core.flow.Direction;

/**
 * What has been learned of a bench: the part of the bench file that the program writes.
 *
 * @param epoch the stretch of its life that it is in
 * @param zeros by {@code instrument.channel}
 * @param leakages in the order taken
 * @param calibrations in the order taken
 * @param repeatability when it has been measured
 * @param calm when a calm record has been taken
 * @param health log of checks, in the order taken
 */
public record Upkeep(
    Epoch epoch,
    Map<String, Zero> zeros,
    List<Leakage> leakages,
    List<CalibrationRef> calibrations,
    Optional<Repeatability> repeatability,
    Optional<CalmRef> calm,
    List<HealthEntry> health) {

  public Upkeep {
    Objects.requireNonNull(epoch);
    Objects.requireNonNull(repeatability);
    Objects.requireNonNull(calm);
    zeros = Collections.unmodifiableMap(new TreeMap<>(zeros)); // in one order, run for run
    leakages = List.copyOf(leakages);
    calibrations = List.copyOf(calibrations);
    health = List.copyOf(health);
  }

  /** Nothing learned yet. */
  public static Upkeep none(Epoch epoch) {
    return new Upkeep(
        epoch, Map.of(), List.of(), List.of(), Optional.empty(), Optional.empty(), List.of());
  }

  /** The newest leakage of a direction and set-up. */
  public Optional<Leakage> leakage(Direction direction, String setUp) {
    return leakages.stream()
        .filter(leak -> leak.direction() == direction && leak.setUp().equals(setUp))
        .max(Comparator.comparing(Leakage::at));
  }

  /**
   * The newest leakage of a direction, whatever the set-up: the head on its adapter when that was
   * measured last, else the blanked bench.
   */
  public Optional<Leakage> leakage(Direction direction) {
    return leakages.stream()
        .filter(leak -> leak.direction() == direction)
        .max(Comparator.comparing(Leakage::at));
  }

  /** The current calibration of a direction and range: the newest that is in use. */
  public Optional<CalibrationRef> calibration(Direction direction, String range) {
    return calibrations.stream()
        .filter(taken -> taken.direction() == direction && taken.range().equals(range))
        .filter(taken -> taken.standing().inUse())
        .max(Comparator.comparing(CalibrationRef::at));
  }

  /** Newest of their direction and range, and not in use: what was taken last does not count. */
  public List<CalibrationRef> setAside() {
    return calibrations.stream()
        .filter(taken -> !taken.standing().inUse())
        .filter(
            taken ->
                calibrations.stream()
                    .filter(other -> other.direction() == taken.direction())
                    .filter(other -> other.range().equals(taken.range()))
                    .noneMatch(other -> other.at().isAfter(taken.at())))
        .toList();
  }

  /** A calibration put in use, or taken out of it. */
  public Upkeep withStanding(String sha256, CalibrationRef.Standing standing) {
    return new Upkeep(
        epoch,
        zeros,
        leakages,
        calibrations.stream()
            .map(taken -> taken.sha256().equals(sha256) ? taken.standing(standing) : taken)
            .toList(),
        repeatability,
        calm,
        health);
  }

  /** The bench was moved or repaired or a gauge changed. */
  public Upkeep inEpoch(Epoch next) {
    return new Upkeep(next, zeros, leakages, calibrations, repeatability, calm, health);
  }

  /**
   * @param channel {@code instrument.channel}
   */
  public Upkeep withZero(String channel, Zero zero) {
    Map<String, Zero> all = new TreeMap<>(zeros);
    all.put(channel, zero);
    return new Upkeep(epoch, all, leakages, calibrations, repeatability, calm, health);
  }

  public Upkeep withLeakage(Leakage leakage) {
    return new Upkeep(
        epoch, zeros, and(leakages, leakage), calibrations, repeatability, calm, health);
  }

  public Upkeep withCalibration(CalibrationRef calibration) {
    return new Upkeep(
        epoch, zeros, leakages, and(calibrations, calibration), repeatability, calm, health);
  }

  public Upkeep withRepeatability(Repeatability learned) {
    return new Upkeep(epoch, zeros, leakages, calibrations, Optional.of(learned), calm, health);
  }

  public Upkeep withCalm(CalmRef taken) {
    return new Upkeep(
        epoch, zeros, leakages, calibrations, repeatability, Optional.of(taken), health);
  }

  public Upkeep withHealth(HealthEntry entry) {
    return new Upkeep(
        epoch, zeros, leakages, calibrations, repeatability, calm, and(health, entry));
  }

  private static <T> List<T> and(List<T> list, T last) {
    List<T> all = new ArrayList<>(list);
    all.add(last);
    return all;
  }
}
