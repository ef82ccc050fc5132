package meniscus.recorder.file;

import java.nio.file.Path;
import java.util.List;
import meniscus.core.compare.Series;
import meniscus.core.lift.Plan;

/** States planned for a port: docs/records.md says each member. */
public final class SeriesFile {

  private static final FormatVersion FORMAT = new FormatVersion("series", 1, 0);

  private SeriesFile() {}

  /**
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public static Series read(Path file) {
    ObjectReader members = new ObjectReader(file.toString(), StrictJson.read(file), member -> {});
    try {
      FORMAT.check(members);
      String name = members.text("name");
      List<Series.Planned> states = members.list("states", SeriesFile::state);
      members.done();
      return members.made(() -> new Series(name, states));
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  private static Series.Planned state(ObjectReader members) {
    String name = members.text("name");
    List<Plan.ChangeNote> changes = members.list("changes", PlanFile::change);
    members.done();
    return members.made(() -> new Series.Planned(name, changes));
  }
}
