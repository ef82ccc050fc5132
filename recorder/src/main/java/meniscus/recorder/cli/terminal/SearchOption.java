package meniscus.recorder.cli.terminal;

import java.nio.file.Path;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.quantity.Value;
import meniscus.recorder.archive.Search;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.archive.TestArchive.Found;
import picocli.CommandLine.Option;

/** What tests to look for. */
public final class SearchOption {

  @Option(
      names = "--part",
      paramLabel = "WORDS",
      description = {
        "Only tests with all these words in head, chamber, port,",
        "valve job, customer reference or the test's name."
      })
  private Optional<String> part = Optional.empty();

  @Option(
      names = "--since",
      paramLabel = "DAY",
      description = "First day, such as 2031-05-06 (UTC).")
  private Optional<LocalDate> since = Optional.empty();

  @Option(names = "--until", paramLabel = "DAY", description = "Last day (UTC).")
  private Optional<LocalDate> until = Optional.empty();

  @Option(
      names = "--change",
      paramLabel = "WORDS",
      description = "Only tests with all these words in their change notes.")
  private Optional<String> change = Optional.empty();

  @Option(
      names = "--lift",
      converter = QuantityOption.Length.class,
      paramLabel = "LIFT",
      description = "Only tests with a point at this lift, such as \"0.4 in\".")
  private Value lift;

  /**
   * @param places test folders, or folders that hold test folders
   */
  public List<Found> find(List<Path> places) {
    List<Found> found = TestArchive.find(places, search());
    if (found.isEmpty()) {
      throw CommandFailed.data("no test fits: ask for less, or see all with export --list");
    }
    return found;
  }

  /** Whether anything is asked. */
  public boolean asks() {
    return search().asks();
  }

  private Search search() {
    return new Search(
        part,
        since,
        until,
        change,
        lift == null ? OptionalDouble.empty() : OptionalDouble.of(lift.si()));
  }
}
