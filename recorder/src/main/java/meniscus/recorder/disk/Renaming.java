package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.BasicFileAttributes;

/**
 * Renames and deletions that wait for whoever holds the file for a moment. On Windows a file that a
 * virus scanner, an indexer or a spreadsheet has open can be neither renamed nor deleted, nor can
 * another take its place; scanners open each new file and let it go within some tenths of a second.
 * It comes as "access denied" or as a fault without a class of its own, so both are tried again,
 * for a second in all (our own choice); what cannot get better is thrown at once.
 */
public final class Renaming {

  private static final int TRIES = 26;
  private static final long PAUSE_MS = 40;

  private Renaming() {}

  /** A change of names; done whole or not at all. */
  interface Step {
    void go() throws IOException;
  }

  /** Lets time pass between two tries. */
  interface Pause {
    void of(long milliseconds) throws InterruptedException;
  }

  /** Puts a file in the place of another, or of none, in one step. */
  public static void replace(Path from, Path to) throws IOException {
    patiently(
        () ->
            Files.move(
                from, to, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING),
        Thread::sleep);
  }

  /** Gives a file or folder a name that is free. */
  public static void move(Path from, Path to) throws IOException {
    patiently(() -> Files.move(from, to), Thread::sleep);
  }

  /** Deletes a file; no error when there is none. */
  public static void delete(Path file) throws IOException {
    patiently(() -> Files.deleteIfExists(file), Thread::sleep);
  }

  /** Deletes a folder with all that is in it, links and not what they lead to; none is no error. */
  public static void deleteTree(Path tree) throws IOException {
    if (!Files.exists(tree, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    Files.walkFileTree(
        tree,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult visitFile(Path file, BasicFileAttributes is) throws IOException {
            delete(file);
            return FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult postVisitDirectory(Path inside, IOException e) throws IOException {
            delete(inside);
            return FileVisitResult.CONTINUE;
          }
        });
  }

  static void patiently(Step step, Pause pause) throws IOException {
    for (int tried = 1; ; tried++) {
      try {
        step.go();
        return;
      } catch (FileSystemException e) {
        if (tried == TRIES || !mayPass(e)) {
          throw e;
        }
        wait(pause, e);
      }
    }
  }

  private static boolean mayPass(FileSystemException e) {
    return e instanceof AccessDeniedException || e.getClass() == FileSystemException.class;
  }

  private static void wait(Pause pause, FileSystemException held) throws IOException {
    try {
      pause.of(PAUSE_MS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw held;
    }
  }
}
