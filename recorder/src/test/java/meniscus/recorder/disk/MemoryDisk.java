package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;

/**
 * A disk in memory that can be full, stalled, pulled, or lose its power.
 *
 * <p>Power cut: of the bytes written since the last force each sector of 512 bytes is kept or lost
 * by itself, in any order; of the changes to names since the folder was last forced a first part is
 * kept.
 */
public final class MemoryDisk implements Disk {

  private static final int SECTOR = 512;

  private final Map<Path, Content> files = new TreeMap<>();
  private final List<Runnable> unforcedNames = new ArrayList<>();
  private final Map<Path, Content> lastingNames = new TreeMap<>();
  private final Set<Path> folders = new HashSet<>();
  private final Set<Path> stalled = new HashSet<>();
  private final Set<Path> gone = new HashSet<>();
  private final Map<Path, Long> room = new HashMap<>();
  private Room said = Room.UNKNOWN;
  private int writes;
  private int cutAfterWrites = Integer.MAX_VALUE;

  private static final class Content {
    private byte[] now = {};
    private byte[] lasting = {};
    private int size;
    private int lastingSize;
    private boolean[] dirty = {};

    void write(int at, ByteBuffer from, int count) {
      int end = at + count;
      if (count == 0) {
        return;
      }
      if (end > now.length) {
        now = Arrays.copyOf(now, Math.max(end, now.length * 2));
        dirty = Arrays.copyOf(dirty, now.length / SECTOR + 1);
      }
      from.get(now, at, count);
      size = Math.max(size, end);
      for (int sector = at / SECTOR; sector <= (end - 1) / SECTOR; sector++) {
        dirty[sector] = true;
      }
    }

    void force() {
      lasting = Arrays.copyOf(now, size);
      lastingSize = size;
      dirty = new boolean[now.length / SECTOR + 1];
    }

    /** Some sectors made it, some did not. */
    void losePower(Random random) {
      int kept = size == lastingSize ? size : lastingSize + random.nextInt(size - lastingSize + 1);
      byte[] left = Arrays.copyOf(lasting, kept);
      for (int sector = 0; sector < dirty.length; sector++) {
        int from = sector * SECTOR;
        int to = Math.min(kept, from + SECTOR);
        if (dirty[sector] && from < to && random.nextBoolean()) {
          System.arraycopy(now, from, left, from, to - from);
        }
      }
      now = left;
      size = kept;
      force();
    }
  }

  /** Everything under a folder stops answering until {@link #goOn}. */
  public synchronized void stall(Path folder) {
    stalled.add(folder);
  }

  public synchronized void goOn(Path folder) {
    stalled.remove(folder);
    notifyAll();
  }

  /** Everything under a folder is gone until {@link #putBack}. */
  public synchronized void pull(Path folder) {
    gone.add(folder);
  }

  public synchronized void putBack(Path folder) {
    gone.remove(folder);
  }

  /** From now on files under a folder may grow by so many bytes in all. */
  public synchronized void room(Path folder, long bytes) {
    room.put(folder, bytes);
  }

  /** What it says of itself when it is asked. */
  public synchronized void says(Room room) {
    said = room;
  }

  /**
   * The power goes at the n-th write, force, rename or deletion from now: it and all later ones
   * fail.
   */
  public synchronized void cutPowerAfter(int operations) {
    cutAfterWrites = writes + operations;
  }

  public synchronized int operations() {
    return writes;
  }

  /** What is found when the power is back. */
  public synchronized void losePower(Random random) {
    cutAfterWrites = Integer.MAX_VALUE;
    files.clear();
    files.putAll(lastingNames);
    int kept = random.nextInt(unforcedNames.size() + 1);
    unforcedNames.subList(0, kept).forEach(Runnable::run);
    unforcedNames.clear();
    lastingNames.clear();
    lastingNames.putAll(files);
    new HashSet<>(files.values()).forEach(content -> content.losePower(random));
  }

  public synchronized byte[] bytes(Path file) {
    Content content = files.get(file);
    return Arrays.copyOf(content.now, content.size);
  }

  public synchronized void put(Path file, byte[] bytes) {
    Content content = new Content();
    content.write(0, ByteBuffer.wrap(bytes), bytes.length);
    content.force();
    files.put(file, content);
    lastingNames.put(file, content);
  }

  private void touch(Path file) throws IOException {
    while (stalled.stream().anyMatch(file::startsWith)) {
      try {
        wait();
      } catch (InterruptedException e) {
        throw new IOException(e);
      }
    }
    if (gone.stream().anyMatch(file::startsWith)) {
      throw new NoSuchFileException(file.toString());
    }
  }

  private void operation() throws IOException {
    if (++writes > cutAfterWrites) {
      throw new IOException("the power is off");
    }
  }

  @Override
  public synchronized OpenFile read(Path file) throws IOException {
    touch(file);
    Content content = files.get(file);
    if (content == null) {
      throw new NoSuchFileException(file.toString());
    }
    return new Open(file, content);
  }

  @Override
  public synchronized OpenFile write(Path file) throws IOException {
    touch(file);
    Content content = files.get(file);
    if (content == null) {
      content = new Content();
      name(file, content);
    }
    return new Open(file, content);
  }

  private void name(Path file, Content content) {
    Runnable change =
        () -> {
          if (content == null) {
            files.remove(file);
          } else {
            files.put(file, content);
          }
        };
    change.run();
    unforcedNames.add(change);
  }

  @Override
  public synchronized boolean exists(Path path) {
    return gone.stream().noneMatch(path::startsWith)
        && (folders.contains(path)
            || files.keySet().stream().anyMatch(file -> file.startsWith(path)));
  }

  @Override
  public synchronized void rename(Path from, Path to) throws IOException {
    touch(to);
    operation();
    Content content = files.remove(from);
    files.put(to, content);
    unforcedNames.add(
        () -> {
          files.remove(from);
          files.put(to, content);
        });
  }

  @Override
  public synchronized void delete(Path file) throws IOException {
    touch(file);
    operation();
    name(file, null);
  }

  @Override
  public synchronized void createFolders(Path folder) {
    folders.add(folder);
  }

  @Override
  public synchronized void forceFolder(Path folder) throws IOException {
    touch(folder);
    operation();
    unforcedNames.clear();
    lastingNames.clear();
    lastingNames.putAll(files);
  }

  @Override
  public synchronized Room room(Path folder) {
    return room.entrySet().stream()
        .filter(limited -> folder.startsWith(limited.getKey()))
        .findFirst()
        .map(limited -> new Room(limited.getValue(), false))
        .orElse(said);
  }

  @Override
  public synchronized List<String> names(Path folder) {
    return files.keySet().stream()
        .filter(file -> file.startsWith(folder))
        .map(file -> folder.relativize(file).getName(0).toString())
        .distinct()
        .toList();
  }

  private final class Open implements OpenFile {
    private final Path file;
    private final Content content;

    Open(Path file, Content content) {
      this.file = file;
      this.content = content;
    }

    @Override
    public int read(long position, ByteBuffer into) throws IOException {
      synchronized (MemoryDisk.this) {
        touch(file);
        int count = (int) Math.min(into.remaining(), content.size - position);
        if (count <= 0) {
          return -1;
        }
        into.put(content.now, (int) position, count);
        return count;
      }
    }

    @Override
    public int write(long position, ByteBuffer from) throws IOException {
      synchronized (MemoryDisk.this) {
        touch(file);
        operation();
        int count = Math.min(from.remaining(), roomFor(position, from.remaining()));
        if (count <= 0) {
          // In the words of some system: only what the disk says when asked tells why.
          throw new IOException("Auf dem Ger\u00E4t ist kein Speicherplatz mehr verf\u00FCgbar");
        }
        content.write((int) position, from, count);
        return count;
      }
    }

    /** A full disk takes a first part of the bytes, as real ones do. */
    private int roomFor(long position, int wanted) {
      for (Map.Entry<Path, Long> folder : room.entrySet()) {
        if (file.startsWith(folder.getKey())) {
          long most = Math.max(0, content.size - position) + folder.getValue();
          int count = (int) Math.min(most, Math.min(wanted, 1000));
          long growth = Math.max(0, position + count - content.size);
          folder.setValue(folder.getValue() - growth);
          return count;
        }
      }
      return Integer.MAX_VALUE;
    }

    @Override
    public long size() {
      return content.size;
    }

    @Override
    public void truncate(long size) {
      content.size = (int) Math.min(size, content.size);
    }

    @Override
    public void force() throws IOException {
      synchronized (MemoryDisk.this) {
        touch(file);
        operation();
        content.force();
      }
    }

    @Override
    public void close() {}
  }
}
