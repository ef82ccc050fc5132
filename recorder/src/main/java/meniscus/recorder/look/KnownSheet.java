package meniscus.recorder.look;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.drivers.sheet.SheetFile;
import meniscus.drivers.sheet.ShippedSheets;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.SheetFiles;

/**
 * A sheet with its driver.
 *
 * @param name a shipped sheet's name, or the path of a file
 */
public record KnownSheet(String name, SheetFile file, InstrumentDriver driver) {

  /** Typed lines are numbers alone: any stream of numbers would look like them. */
  private static final Set<String> NEVER_GUESSED = Set.of("by-hand");

  /**
   * The catalogue's SCPI sheet would set up any meter there is: who speaks SCPI is asked for its
   * name instead, {@link Identity}. A Modbus question is not asked of strangers at all.
   */
  private static final Set<String> ONLY_AS_ONES_OWN = Set.of("scpi", "modbus-rtu", "modbus-tcp");

  /** Members by which a sheet asks something of a line. */
  private static final Set<String> WORTH =
      Set.of("fields", "label", "unit_from", "expect", "pattern", "identity");

  /**
   * One sheet by the name it is shipped under, or by its path.
   *
   * @throws Refusal when there is none, or no driver for it
   */
  public static KnownSheet named(String name, Drivers drivers) {
    return of(name, SheetFiles.read(fileName(name), Path.of(name)), drivers);
  }

  private static String fileName(String name) {
    return SheetFiles.isOwn(name) ? Path.of(name).getFileName().toString() : name;
  }

  private static KnownSheet of(String name, SheetFile file, Drivers drivers) {
    try {
      return new KnownSheet(name, file, drivers.named(file.instrument().driver()));
    } catch (Refusal noDriver) {
      throw new Refusal(name + ": " + noDriver.getMessage(), noDriver);
    }
  }

  /** A sheet that is made here and lies in no file yet. */
  public static KnownSheet made(String name, Map<String, Object> members, Drivers drivers) {
    return of(name, SheetFile.of(new Settings(name, members)), drivers);
  }

  /** The shipped sheets that can be guessed at. */
  public static List<KnownSheet> shipped(Drivers drivers) {
    return ShippedSheets.names().stream()
        .map(name -> named(name, drivers))
        .filter(KnownSheet::canBeGuessed)
        .filter(sheet -> !ONLY_AS_ONES_OWN.contains(sheet.driver().id()))
        .toList();
  }

  /**
   * What lies in a folder of sheets.
   *
   * @param sheets that can be guessed at
   * @param faults of the sheets that have one: what, where, what to do
   */
  public record Folder(List<KnownSheet> sheets, List<String> faults) {}

  /**
   * All sheets in a folder; other JSON files, such as bench files, are passed over.
   *
   * @throws IOException when the folder cannot be read
   */
  public static Folder in(Path folder, Drivers drivers) throws IOException {
    List<Path> files = new ArrayList<>();
    try (DirectoryStream<Path> found = Files.newDirectoryStream(folder, "*.json")) {
      found.forEach(files::add);
    }
    files.sort(null);
    List<KnownSheet> sheets = new ArrayList<>();
    List<String> faults = new ArrayList<>();
    for (Path file : files) {
      try {
        KnownSheet sheet = named(file.toString(), drivers);
        sheet.channels();
        if (sheet.canBeGuessed()) {
          sheets.add(sheet);
        }
      } catch (Refusal | FileNotAccepted fault) {
        if (SheetFiles.isMeantAsSheet(file)) {
          faults.add(fault.getMessage());
        }
      }
    }
    return new Folder(sheets, faults);
  }

  private boolean canBeGuessed() {
    return !NEVER_GUESSED.contains(driver.id());
  }

  /**
   * How much of a line this sheet checks: of two that read every line, the one that asks for more
   * is meant. The order is our own choice: a checksum is hard to meet by chance, words and a
   * pattern less so, a number of fields hardly at all.
   */
  int strictness() {
    Map<String, Object> members = file.instrument().settings().members();
    boolean checked = count(members, Set.of("checksum")) > 0 || driver.id().startsWith("modbus");
    int strictness = count(members, WORTH);
    return strictness + (checked ? 10 : 0);
  }

  private static int count(Object value, Set<String> names) {
    if (value instanceof List<?> items) {
      return items.stream().mapToInt(item -> count(item, names)).sum();
    }
    return value instanceof Map<?, ?> members
        ? members.entrySet().stream()
            .mapToInt(
                each -> (names.contains(each.getKey()) ? 1 : 0) + count(each.getValue(), names))
            .sum()
        : 0;
  }

  public List<Channel> channels() {
    return driver.channels(file.instrument());
  }

  public Decoder newDecoder() {
    return driver.newDecoder(file.instrument());
  }

  /** Whether it sends anything, or only listens. */
  boolean asks() {
    try {
      Next first = newDecoder().opened(Moment.START);
      return !first.requests().isEmpty() || first.wakeAt().isPresent();
    } catch (RuntimeException | Error plugin) {
      return true;
    }
  }

  /** Whether its instrument can be on such a line. */
  boolean mayBeAt(LinePlace place) {
    String usual = file.line().text("kind", "");
    return !place.kind().equals("serial") || usual.isEmpty() || usual.equals("serial");
  }

  /** How the line is set for it. */
  Map<String, Object> lineAt(LinePlace place) {
    return place.with(file.line()).members();
  }
}
