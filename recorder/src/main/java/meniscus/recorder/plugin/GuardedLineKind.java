package meniscus.recorder.plugin;

import java.nio.ByteBuffer;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import meniscus.core.instrument.Settings;
import meniscus.core.time.Moment;
import meniscus.drivers.line.FoundLine;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;

/**
 * A plugin's kind of line that can be asked without fear: whatever its open lines throw is a lost
 * line, which is opened again. A read that does not come back holds its own line's thread only.
 */
final class GuardedLineKind extends Guarded implements LineKind {

  private final LineKind kind;

  GuardedLineKind(LineKind kind, String id, String summary, int version, PluginGuard guard) {
    super(id, summary, version, guard);
    this.kind = kind;
  }

  @Override
  public LineOpener opener(Settings settings) {
    return asked(
        "opener()",
        () -> {
          LineOpener opener = kind.opener(settings);
          return new Opener(opener, PluginFault.harmless(opener.name()));
        });
  }

  @Override
  public List<FoundLine> found() {
    try {
      return guard.call(() -> "found()", () -> List.copyOf(kind.found()));
    } catch (PluginFault fault) {
      return List.of(new FoundLine(id(), "", fault.getMessage(), Map.of()));
    }
  }

  @Override
  String what() {
    return "the kind of line";
  }

  private LineLost lost(String doing, Throwable thrown) {
    return thrown instanceof LineLost known
        ? new LineLost(PluginFault.said(known), known)
        : new LineLost(whose() + PluginFault.of(doing, thrown).getMessage(), thrown);
  }

  private final class Opener implements LineOpener {

    private final LineOpener opener;
    private final String name;

    Opener(LineOpener opener, String name) {
      this.opener = opener;
      this.name = name;
    }

    @Override
    public String name() {
      return name;
    }

    @Override
    public Line open() throws LineLost {
      try {
        return new Open(Objects.requireNonNull(opener.open(), "no line"));
      } catch (Throwable thrown) {
        throw lost("open()", thrown);
      }
    }
  }

  private final class Open implements Line {

    private final Line line;

    Open(Line line) {
      this.line = line;
    }

    @Override
    public int read(ByteBuffer into, int waitMs) throws LineLost {
      int before = into.position();
      try {
        int count = line.read(into, waitMs);
        if (count >= 0 && into.position() != before + count) {
          throw new PluginFault("read() says " + count + " bytes and puts another number");
        }
        return count;
      } catch (Throwable thrown) {
        throw lost("read()", thrown);
      }
    }

    @Override
    public void write(ByteBuffer bytes) throws LineLost {
      try {
        line.write(bytes);
      } catch (Throwable thrown) {
        throw lost("write()", thrown);
      }
    }

    @Override
    public Moment time(Moment now) {
      try {
        return Objects.requireNonNullElse(line.time(now), now);
      } catch (Throwable thrown) {
        return now;
      }
    }

    @Override
    public Optional<String> remark() {
      try {
        return line.remark().map(PluginFault::harmless);
      } catch (Throwable thrown) {
        return Optional.empty();
      }
    }

    /** Also called from the session's own thread, which must never wait for a plugin. */
    @Override
    public void close() {
      try {
        guard.call(
            () -> "close()",
            () -> {
              line.close();
              return true;
            });
      } catch (PluginFault fault) {
        // Nothing can be done for it; the line is opened again or not needed any more.
      }
    }
  }
}
