package meniscus.recorder.disk;

import java.io.UncheckedIOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import java.nio.file.Path;

/** Why a file cannot be used, in words that help the operator. */
public final class Trouble {

  private Trouble() {}

  /** What is wrong with the file that an exception names; its message alone when it names none. */
  public static String inWords(Exception e) {
    Throwable thrown = e instanceof UncheckedIOException wrapped ? wrapped.getCause() : e;
    if (!(thrown instanceof FileSystemException trouble) || trouble.getFile() == null) {
      return String.valueOf(thrown.getMessage());
    }
    if (thrown instanceof NoSuchFileException) {
      return "there is no " + trouble.getFile();
    }
    if (thrown instanceof AccessDeniedException) {
      return trouble.getFile() + " may not be read or written: give yourself permission";
    }
    if (thrown instanceof NotDirectoryException) {
      return trouble.getFile() + " is not a folder";
    }
    if (thrown instanceof FileAlreadyExistsException) {
      return trouble.getFile() + " is there already";
    }
    return trouble.getMessage();
  }

  /** Why a file could not be written. */
  public static String inWords(Exception e, Path file) {
    return inWords(e, file, Disk.REAL);
  }

  /** The same of a file on a disk, which is asked how it stands. */
  public static String inWords(Exception e, Path file, Disk disk) {
    Path folder = file.toAbsolutePath().getParent();
    Room room = disk.room(folder);
    if (e instanceof NoSuchFileException) {
      return file + " is gone: put the disk or the folder back";
    }
    if (room.readOnly()) {
      return "the disk of "
          + folder
          + " is read only: a disk that turns so by itself has a fault; unlock it, or have it checked"
          + " and put it back";
    }
    if (e instanceof AccessDeniedException) {
      return folder + " may not be written: give it write permission";
    }
    if (room.isUsedUp()) {
      return "the disk of " + folder + " is full: free some space on it";
    }
    return file + " cannot be written (" + e.getMessage() + "): check the disk and its cable";
  }
}
