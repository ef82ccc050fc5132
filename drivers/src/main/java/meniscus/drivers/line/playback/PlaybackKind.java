package meniscus.drivers.line.playback;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;

/**
 * Plays a {@link Recording} back: {@code {"kind": "playback", "file": "run.bytes", "speed":
 * "recorded"}}. At speed {@code full} nothing is waited for; the moments are the recorded ones
 * either way, counted from the opening.
 */
public final class PlaybackKind implements LineKind {

  @Override
  public String id() {
    return "playback";
  }

  @Override
  public String summary() {
    return "a recording of a line, played back";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public LineOpener opener(Settings settings) {
    settings.text("kind", id());
    Path file = Path.of(settings.text("file"));
    String speed = settings.text("speed", "recorded");
    if (!speed.equals("recorded") && !speed.equals("full")) {
      throw new Refusal(
          settings.where() + ", \"speed\" must be recorded or full, was \"" + speed + "\"");
    }
    settings.done();
    return new Opener(file, speed.equals("full"));
  }

  /** Plays once: a recording that broke off must not begin again and give its readings twice. */
  private static final class Opener implements LineOpener {

    private final Path file;
    private final boolean fullSpeed;
    private boolean played;

    Opener(Path file, boolean fullSpeed) {
      this.file = file;
      this.fullSpeed = fullSpeed;
    }

    @Override
    public String name() {
      return "playback of " + file;
    }

    @Override
    public Line open() throws LineLost {
      if (played) {
        throw new LineLost(file + " has been played; a recording is played once");
      }
      try {
        Line line =
            new PlaybackLine(
                new Recording.Source(
                    file.toString(), Files.newBufferedReader(file, StandardCharsets.UTF_8)),
                fullSpeed);
        played = true;
        return line;
      } catch (NoSuchFileException missing) {
        throw new LineLost("there is no recording " + file, missing);
      } catch (IOException unreadable) {
        throw new LineLost("cannot play " + file + ": " + unreadable.getMessage(), unreadable);
      }
    }
  }
}
