package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicLong;

/** A disk that takes everything, counts it and keeps nothing: for tests longer than any disk. */
public final class NowhereDisk implements Disk {

  private final Map<Path, AtomicLong> sizes = new ConcurrentHashMap<>();

  /** Bytes that a file would have. */
  public long size(Path file) {
    return sizes.get(file).get();
  }

  @Override
  public OpenFile read(Path file) throws IOException {
    AtomicLong size = sizes.get(file);
    if (size == null) {
      throw new NoSuchFileException(file.toString());
    }
    return new Open(size);
  }

  @Override
  public OpenFile write(Path file) {
    return new Open(sizes.computeIfAbsent(file, name -> new AtomicLong()));
  }

  @Override
  public boolean exists(Path path) {
    return sizes.containsKey(path);
  }

  @Override
  public void rename(Path from, Path to) {
    sizes.put(to, sizes.remove(from));
  }

  @Override
  public void delete(Path file) {
    sizes.remove(file);
  }

  @Override
  public void createFolders(Path folder) {}

  @Override
  public void forceFolder(Path folder) {}

  @Override
  public List<String> names(Path folder) {
    return sizes.keySet().stream().map(file -> file.getFileName().toString()).sorted().toList();
  }

  private record Open(AtomicLong length) implements OpenFile {

    @Override
    public int read(long position, ByteBuffer into) throws IOException {
      throw new IOException("nothing was kept");
    }

    @Override
    public int write(long position, ByteBuffer from) {
      int count = from.remaining();
      from.position(from.limit());
      length.accumulateAndGet(position + count, Math::max);
      return count;
    }

    @Override
    public long size() {
      return length.get();
    }

    @Override
    public void truncate(long size) {
      length.set(size);
    }

    @Override
    public void force() {}

    @Override
    public void close() {}
  }
}
