package meniscus.drivers.line.command;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import meniscus.core.instrument.Printable;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineLost;

/**
 * A running program as a line. Its output is taken by a thread of its own, for pipes do not wait.
 */
final class CommandLine implements Line {

  /** What a program says about its trouble is shown up to this length. */
  private static final int LONGEST_WORDS = 200;

  private final String name;
  private final Process process;
  private final BlockingQueue<byte[]> came = new LinkedBlockingQueue<>(1024);
  private final StringBuffer words = new StringBuffer();
  private ByteBuffer rest = ByteBuffer.allocate(0);

  CommandLine(String name, Process process) {
    this.name = name;
    this.process = process;
    pump(process.getInputStream(), this::take);
    pump(process.getErrorStream(), this::hear);
  }

  private void pump(InputStream from, Consumer<byte[]> to) {
    Thread thread =
        new Thread(
            () -> {
              byte[] buffer = new byte[8192];
              try (from) {
                for (int count = from.read(buffer); count >= 0; count = from.read(buffer)) {
                  to.accept(Arrays.copyOf(buffer, count));
                }
              } catch (IOException ended) {
                // The program is gone; read() says so.
              }
            },
            "output of " + name);
    thread.setDaemon(true);
    thread.start();
  }

  private void take(byte[] bytes) {
    try {
      came.put(bytes);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void hear(byte[] bytes) {
    words.append(new String(bytes, StandardCharsets.ISO_8859_1));
    words.delete(0, Math.max(0, words.length() - LONGEST_WORDS));
  }

  @Override
  public int read(ByteBuffer into, int waitMs) throws LineLost {
    if (!rest.hasRemaining()) {
      rest = ByteBuffer.wrap(next(waitMs));
    }
    int count = Math.min(into.remaining(), rest.remaining());
    into.put(into.position(), rest, rest.position(), count);
    into.position(into.position() + count);
    rest.position(rest.position() + count);
    return count;
  }

  private byte[] next(int waitMs) throws LineLost {
    boolean over = !process.isAlive();
    try {
      byte[] bytes = came.poll(waitMs, TimeUnit.MILLISECONDS);
      if (bytes == null && over) {
        throw new LineLost(name + " has ended" + how());
      }
      return bytes == null ? new byte[0] : bytes;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new LineLost("interrupted", e);
    }
  }

  private String how() {
    String said = words.toString().strip();
    return " (exit code "
        + process.exitValue()
        + ")"
        + (said.isEmpty()
            ? ""
            : ": " + Printable.text(ByteBuffer.wrap(said.getBytes(StandardCharsets.ISO_8859_1))));
  }

  @Override
  public void write(ByteBuffer out) throws LineLost {
    byte[] all = new byte[out.remaining()];
    out.get(all);
    try {
      process.getOutputStream().write(all);
      process.getOutputStream().flush();
    } catch (IOException closed) {
      throw new LineLost(name + " does not take what is sent", closed);
    }
  }

  @Override
  public void close() {
    process.descendants().forEach(ProcessHandle::destroy);
    process.destroy();
  }
}
