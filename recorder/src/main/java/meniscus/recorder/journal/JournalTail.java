package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import meniscus.recorder.disk.Disk;

/**
 * Follows a journal while it is written: each look reads on from where the last one ended. What is
 * not whole at its end may be on its way still, so the next look then begins at the start again, as
 * it does when another journal has taken the place of this one.
 *
 * <p>Belongs to one thread.
 */
public final class JournalTail {

  private final Path file;
  private Optional<JournalReader> reader = Optional.empty();
  private int journal;
  private int told;

  public JournalTail(Path file) {
    this.file = file;
  }

  /**
   * What the journal tells by now.
   *
   * @return empty when nothing but rows has come since the last look
   * @throws java.nio.file.NoSuchFileException when it is not there
   */
  public Optional<Recovered> look() throws IOException {
    try (Disk.OpenFile open = Disk.REAL.read(file)) {
      JournalReader reading = onwards(open);
      reader = Optional.empty(); // should this go wrong
      Recovered read = reading.readOn(open);
      if (reading.endsWhole()) {
        reader = Optional.of(reading);
      }
      boolean more = read.entries().size() > (read.journal() == journal ? told : 0);
      journal = read.journal();
      told = read.entries().size();
      return more ? Optional.of(read) : Optional.empty();
    }
  }

  private JournalReader onwards(Disk.OpenFile open) throws IOException {
    return reader.isPresent() && reader.get().fits(open)
        ? reader.get()
        : new JournalReader(file, JournalVisitor.NONE);
  }
}
