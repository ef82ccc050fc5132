package meniscus.recorder.file;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;

/** Writes the shortest form of a ladder that {@link LadderReader} reads back as the same rungs. */
final class LadderWriter {

  private LadderWriter() {}

  static ObjectWriter write(ObjectWriter written, List<Rung> ladder, Unit unit) {
    Rung last = ladder.get(ladder.size() - 1);
    List<Rung> swept = last.returnRung() ? ladder.subList(0, ladder.size() - 1) : ladder;
    if (swept.isEmpty() || !isPlain(swept) || last.returnRung() && !repeatsOne(last, swept)) {
      return written.list("rungs", ladder, rung -> single(written.another(), rung, unit));
    }
    List<Rung> first = firstSweep(swept);
    written.put("lifts", first.stream().map(rung -> lift(rung.liftM(), unit)).toList());
    written.put(
        "sweep", first.size() < swept.size() ? LadderReader.BOTH : first.get(0).sweep().word());
    return last.returnRung() ? written.put("return_rung", lift(last.liftM(), unit)) : written;
  }

  private static ObjectWriter single(ObjectWriter written, Rung rung, Unit unit) {
    return written
        .put("lift", lift(rung.liftM(), unit))
        .put("sweep", rung.sweep().word())
        .si("test_pressure", rung.testPressurePa(), Dimension.PRESSURE)
        .unless(false, "returns", rung.returnRung())
        .unless(false, "confirm", rung.confirm());
  }

  /** A number in the plan's unit where that reads back exactly, else text in metres. */
  private static Object lift(double liftM, Unit unit) {
    double number = QuantityText.number(liftM, unit);
    return unit.toSi(number) == liftM
        ? (Object) ObjectWriter.number(number)
        : QuantityText.inSi(liftM, Dimension.LENGTH);
  }

  /** One sweep, or opening and then closing over the same lifts but for the highest. */
  private static boolean isPlain(List<Rung> swept) {
    List<Rung> first = firstSweep(swept);
    for (int i = 1; i < first.size(); i++) {
      boolean rises = first.get(i).liftM() > first.get(i - 1).liftM();
      boolean falls = first.get(i).liftM() < first.get(i - 1).liftM();
      if (!(first.get(0).sweep() == Sweep.OPENING ? rises : falls)) {
        return false;
      }
    }
    boolean bare =
        swept.stream().allMatch(rung -> rung.testPressurePa().isEmpty() && !rung.returnRung());
    return bare && (first.size() == swept.size() || goesBack(first, swept));
  }

  private static boolean goesBack(List<Rung> first, List<Rung> swept) {
    List<Double> back = new ArrayList<>();
    for (int i = first.size() - 2; i >= 0; i--) {
      back.add(first.get(i).liftM());
    }
    List<Rung> rest = swept.subList(first.size(), swept.size());
    return first.get(0).sweep() == Sweep.OPENING
        && rest.stream().allMatch(rung -> rung.sweep() == Sweep.CLOSING)
        && rest.stream().map(Rung::liftM).toList().equals(back);
  }

  private static List<Rung> firstSweep(List<Rung> swept) {
    int end = 1;
    while (end < swept.size() && swept.get(end).sweep() == swept.get(0).sweep()) {
      end++;
    }
    return swept.subList(0, end);
  }

  private static boolean repeatsOne(Rung returned, List<Rung> swept) {
    return swept.stream()
        .filter(rung -> rung.liftM() == returned.liftM())
        .findFirst()
        .filter(
            rung ->
                rung.sweep() == returned.sweep()
                    && rung.testPressurePa().equals(returned.testPressurePa()))
        .isPresent();
  }
}
