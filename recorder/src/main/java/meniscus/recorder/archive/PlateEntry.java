package meniscus.recorder.archive;

/**
 * Readings of a plate: no test of a port, and never among them.
 *
 * @param name path of their folder under the archive's
 * @param stamp as of {@link IndexEntry}
 * @param known of them
 */
public record PlateEntry(String name, String stamp, PlateSummary known) {}
