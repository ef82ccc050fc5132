package meniscus.drivers.line.playback;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Request;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.playback.Recording.Mark;

/**
 * Writes down what a listener hears and answers, so that the whole can be played back. Whoever made
 * the output closes it.
 *
 * @param listener hears everything unchanged
 * @param to for example a buffered writer on a file
 */
public record RecordingListener(LineListener listener, Appendable to) implements LineListener {

  /** Begins a recording. */
  public static RecordingListener begin(LineListener listener, Appendable to) throws IOException {
    Recording.begin(to);
    return new RecordingListener(listener, to);
  }

  @Override
  public Next opened(Moment at) {
    noted(at, "opened");
    return sent(at, listener.opened(at));
  }

  @Override
  public Next bytes(Moment at, ByteBuffer bytes) {
    write(at, Mark.RECEIVED, bytes);
    return sent(at, listener.bytes(at, bytes));
  }

  @Override
  public Next tick(Moment at) {
    return sent(at, listener.tick(at));
  }

  @Override
  public void remark(Moment at, String text) {
    noted(at, text);
    listener.remark(at, text);
  }

  @Override
  public void quiet(Moment at, double silentSeconds) {
    listener.quiet(at, silentSeconds);
  }

  @Override
  public void lost(Moment at, String reason) {
    noted(at, "lost: " + reason);
    listener.lost(at, reason);
  }

  @Override
  public void waiting(Moment at, String reason) {
    noted(at, "waiting: " + reason);
    listener.waiting(at, reason);
  }

  @Override
  public void ended(Moment at) {
    noted(at, "ended");
    listener.ended(at);
  }

  private Next sent(Moment at, Next next) {
    for (Request request : next.requests()) {
      write(at, Mark.SENT, request.bytes());
    }
    return next;
  }

  private void noted(Moment at, String text) {
    write(at, Mark.REMARK, ByteBuffer.wrap(text.getBytes(StandardCharsets.UTF_8)));
  }

  private void write(Moment at, Mark mark, ByteBuffer bytes) {
    try {
      Recording.write(to, at, mark, bytes);
    } catch (IOException full) {
      throw new UncheckedIOException("the line recording could not be written", full);
    }
  }
}
