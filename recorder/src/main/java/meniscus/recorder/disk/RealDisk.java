package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.OpenOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.stream.Stream;

/** The machine's file system. */
final class RealDisk implements Disk {

  @Override
  public OpenFile read(Path file) throws IOException {
    return open(file, StandardOpenOption.READ, LinkOption.NOFOLLOW_LINKS);
  }

  @Override
  public OpenFile write(Path file) throws IOException {
    return open(
        file,
        StandardOpenOption.READ,
        StandardOpenOption.WRITE,
        StandardOpenOption.CREATE,
        LinkOption.NOFOLLOW_LINKS);
  }

  private static OpenFile open(Path file, OpenOption... options) throws IOException {
    return new Channel(FileChannel.open(file, options));
  }

  @Override
  public boolean exists(Path path) {
    return Files.isRegularFile(path, LinkOption.NOFOLLOW_LINKS)
        || Files.isDirectory(path, LinkOption.NOFOLLOW_LINKS);
  }

  @Override
  public void rename(Path from, Path to) throws IOException {
    try {
      Renaming.replace(from, to);
    } catch (AtomicMoveNotSupportedException e) {
      throw new IOException(
          "the file system of " + to.getParent() + " cannot rename in one step: use a local disk",
          e);
    }
  }

  @Override
  public void delete(Path file) throws IOException {
    Renaming.delete(file);
  }

  @Override
  public void createFolders(Path folder) throws IOException {
    Files.createDirectories(folder);
  }

  @Override
  public void forceFolder(Path folder) throws IOException {
    FileChannel channel;
    try {
      channel = FileChannel.open(folder, StandardOpenOption.READ);
    } catch (IOException e) {
      return; // Some platforms do not open folders; their file systems keep names in order.
    }
    try (channel) {
      channel.force(true);
    }
  }

  @Override
  public Room room(Path folder) {
    return Room.of(folder);
  }

  @Override
  public List<String> names(Path folder) throws IOException {
    try (Stream<Path> entries = Files.list(folder)) {
      return entries.map(entry -> entry.getFileName().toString()).sorted().toList();
    }
  }

  private record Channel(FileChannel channel) implements OpenFile {
    @Override
    public int read(long position, ByteBuffer into) throws IOException {
      return channel.read(into, position);
    }

    @Override
    public int write(long position, ByteBuffer from) throws IOException {
      return channel.write(from, position);
    }

    @Override
    public long size() throws IOException {
      return channel.size();
    }

    @Override
    public void truncate(long size) throws IOException {
      channel.truncate(size);
    }

    @Override
    public void force() throws IOException {
      channel.force(true);
    }

    @Override
    public void close() throws IOException {
      channel.close();
    }
  }
}
