package meniscus.recorder.session;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Stream;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.disk.PortableName;
import meniscus.recorder.disk.Trouble;
import meniscus.recorder.folder.TestFolder;

/**
 * A test has a folder to itself: among other things neither would be safe from the other.
 *
 * @param out the test's folder
 * @param mirror second folder for the journal, which may hold other things
 * @param benchFile whose own folders lie beside it
 */
record OwnFolder(Path out, Optional<Path> mirror, Path benchFile) {

  /** Folders beside the bench file that are the bench's, whether they are there yet or not. */
  private static final List<String> OF_THE_BENCH =
      List.of("calibrations", "calm", PlateRecording.FOLDER);

  private static final int NAMED = 3;

  /**
   * @param replaces tests in the way are put aside
   * @param resumes an unfinished test is to be there
   * @throws IOException saying what is in the way
   */
  void refuseWhatIsInTheWay(boolean replaces, boolean resumes) throws IOException {
    if (mirror.isPresent() && mirror.get().toAbsolutePath().equals(out.toAbsolutePath())) {
      throw new IOException("the mirror is the test folder itself: name a folder on another disk");
    }
    TestFolder.State state = TestFolder.state(out);
    if (state == TestFolder.State.NONE) {
      refuseOther();
    }
    if (replaces) {
      return;
    }
    if (state == TestFolder.State.FINISHED) {
      throw new IOException(
          out + " holds a finished test: choose another folder, or put it aside with --replace");
    }
    if (resumes) {
      return;
    }
    // Behind a link, which could be put aside.
    if (state == TestFolder.State.NONE && Files.isDirectory(out) && !others(out).isEmpty()) {
      throw new IOException(
          out
              + " holds other files: a test has a folder of its own; name a new one, or put this one"
              + " aside with --replace");
    }
    if (state == TestFolder.State.UNFINISHED) {
      throw new IOException(
          out + " holds an unfinished test: go on with --resume, or put it aside with --replace");
    }
    if (mirror.isPresent() && TestFolder.state(mirror.get()) == TestFolder.State.UNFINISHED) {
      throw new IOException(
          "the mirror "
              + mirror.get()
              + " holds the journal of an unfinished test: go on with --resume, or put it aside"
              + " with --replace");
    }
  }

  /** Where no test is there may be nothing else, nor is a folder of the bench a test's. */
  private void refuseOther() throws IOException {
    Path wanted = out.toAbsolutePath().normalize();
    for (String name : OF_THE_BENCH) {
      if (wanted.startsWith(benchFile.toAbsolutePath().normalize().resolveSibling(name))) {
        throw new IOException(
            out + " belongs to the bench, whose " + name + " go there: choose another folder");
      }
    }
    if (!Files.isDirectory(out, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    List<String> other = others(out);
    if (!other.isEmpty()) {
      throw new IOException(
          out
              + " holds other things ("
              + String.join(", ", other)
              + "): a test needs a folder of its own, so name a new one, such as "
              + out.resolve("test-1"));
    }
  }

  /**
   * Some of what lies there; not hidden files, which file managers put everywhere, nor the lock of
   * an attempt that never began a journal.
   */
  private static List<String> others(Path folder) throws IOException {
    try (Stream<Path> entries = Files.list(folder)) {
      return entries
          .map(entry -> entry.getFileName().toString())
          .filter(name -> !name.startsWith(".") && !name.equals(FolderLock.NAME))
          .sorted()
          .limit(NAMED)
          .toList();
    }
  }

  /**
   * Renames what is in the way; nothing is ever deleted.
   *
   * @param told is given the new name of each thing
   */
  void putAside(Consumer<Path> told) throws IOException {
    PutAside.folder(out).ifPresent(told);
    if (mirror.isPresent()) {
      PutAside.journal(mirror.get()).ifPresent(told);
    }
  }

  /** Makes and locks the folder, then the mirror's; each lock is given as soon as it is held. */
  void lock(List<FolderLock> locks) throws IOException {
    locks.add(locked(out));
    if (mirror.isPresent()) {
      locks.add(locked(mirror.get()));
    }
  }

  private static FolderLock locked(Path folder) throws IOException {
    if (Files.exists(folder) && !Files.isDirectory(folder)) {
      throw new IOException(folder + " is a file, not a folder: choose another name");
    }
    Optional<String> fault = PortableName.fault(folder);
    if (fault.isPresent()) {
      throw new IOException(folder + ": " + fault.get());
    }
    try {
      Files.createDirectories(folder);
    } catch (IOException e) {
      throw new IOException(Trouble.inWords(e, folder.toAbsolutePath()), e);
    }
    return FolderLock.take(folder);
  }
}
