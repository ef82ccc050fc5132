package meniscus.recorder.journal;

import java.time.Instant;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import meniscus.core.instrument.Channel;
import meniscus.recorder.disk.InsideName;

/**
 * What a journal starts with: all that is needed to finish its test on another computer.
 *
 * @param program name and version of the program that made it
 * @param created wall-clock instant
 * @param instruments in the order in which rows name them
 * @param files name within the test folder to content: {@code bench.json}, {@code plan.json}, and
 *     copies of calibrations and the calm record; {@code plate.json} in place of the plan where an
 *     orifice plate is read
 * @param id that no other test has; empty in journals from before tests had one
 */
public record Header(
    String program,
    Instant created,
    List<Columns> instruments,
    SortedMap<String, byte[]> files,
    Optional<UUID> id) {

  public static final String BENCH = "bench.json";
  public static final String PLAN = "plan.json";

  /** In place of the plan where the journal is of a plate. */
  public static final String PLATE = "plate.json";

  /** Most bytes of one file. */
  static final int LARGEST_FILE = 64 << 20;

  /**
   * The channels of one instrument, as its driver numbers them.
   *
   * @param instrument id in the bench
   * @param channels at most 64
   */
  public record Columns(String instrument, List<Channel> channels) {
    public Columns {
      Objects.requireNonNull(instrument);
      channels = List.copyOf(channels);
      if (channels.size() > Long.SIZE) {
        throw new IllegalArgumentException(
            instrument + " has " + channels.size() + " channels; a test records at most 64 of one");
      }
    }

    /** By instrument, the mask of a frame that has every channel. */
    static long[] all(List<Columns> instruments) {
      return instruments.stream()
          .mapToLong(columns -> columns.channels().size())
          .map(count -> count == Long.SIZE ? -1L : (1L << count) - 1)
          .toArray();
    }
  }

  public Header {
    Objects.requireNonNull(program);
    Objects.requireNonNull(created);
    Objects.requireNonNull(id);
    instruments = List.copyOf(instruments);
    files = Collections.unmodifiableSortedMap(new TreeMap<>(files));
    for (Map.Entry<String, byte[]> file : files.entrySet()) {
      if (!InsideName.ok(file.getKey()) || file.getValue().length > LARGEST_FILE) {
        throw new IllegalArgumentException(
            "\"" + file.getKey() + "\" cannot go into a journal: bad name, or above 64 MiB");
      }
    }
    if (!files.containsKey(BENCH) || files.containsKey(PLAN) == files.containsKey(PLATE)) {
      throw new IllegalArgumentException(
          "a journal needs " + BENCH + ", and one of " + PLAN + " and " + PLATE);
    }
  }

  public byte[] plan() {
    return files.get(PLAN).clone();
  }
}
