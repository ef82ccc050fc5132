package meniscus.core.instrument;

import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import meniscus.core.quantity.Unit;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** The contract kit accepts a sound driver and finds each kind of unsound one. */
class InstrumentDriverContractTest extends InstrumentDriverContract {

  private enum Fault {
    NONE,
    READS_EACH_CHUNK_BY_ITSELF,
    KEEPS_HALF_A_FRAME_WHEN_LOST,
    SHARES_ITS_BUFFER,
    THROWS_AT_GARBAGE,
    LEAVES_BYTES,
    NEEDS_AN_ARRAY,
    FORGETS_THE_FRAME,
    GIVES_INFINITY,
    USES_A_FOREIGN_CHANNEL,
    TELLS_CONTROL_CHARACTERS,
    WAKES_IN_THE_PAST,
    TAKES_ANY_MEMBER,
    NAMES_A_CHANNEL_TWICE
  }

  private InstrumentDriver driver = new Toy(Fault.NONE);
  private boolean registered = true;

  @Override
  protected InstrumentDriver driver() {
    return driver;
  }

  @Override
  protected InstrumentSheet sheet() {
    return new InstrumentSheet("toy", "toy", new Settings("toy", Map.of("unit", "Pa")));
  }

  @Override
  protected Transcript transcript() {
    return Transcript.empty().at(1, "1\n2\nx\n").at(2, "33\n4").at(3, "4\n");
  }

  @Override
  protected Iterable<InstrumentDriver> discovered() {
    return registered ? List.of(driver) : List.of();
  }

  @ParameterizedTest
  @EnumSource
  void eachUnsoundDriverIsFoundAndTheSoundOneIsNot(Fault fault) {
    driver = new Toy(fault);
    if (fault == Fault.NONE) {
      everything();
    } else {
      assertThrows(Throwable.class, this::everything, fault.name());
    }
  }

  @Test
  void aDriverThatIsNotRegisteredIsFound() {
    registered = false;
    assertThrows(AssertionError.class, this::isFoundByTheProgram);
  }

  private void everything() {
    isFoundByTheProgram();
    hasAnIdASummaryAndAVersionThatFit();
    namesEachChannelOnceAndAlwaysTheSame();
    readsItsTranscriptAndUsesOnlyItsOwnChannels();
    givesTheSameWhateverTheCut();
    twoLinesOfOneDriverHaveNothingInCommon();
    dropsHalfAFrameWhenTheLineIsLost();
    garbageIsRejectedAndNeverThrown();
    aFrameWithoutEndIsGivenUp();
    takesAnyKindOfBuffer();
    aMemberThatNoOneKnowsIsRefusedByName();
  }

  /** Whole numbers, one a line. */
  private record Toy(Fault fault) implements InstrumentDriver {

    @Override
    public String id() {
      return "toy";
    }

    @Override
    public String summary() {
      return "whole numbers, one a line";
    }

    @Override
    public int apiVersion() {
      return API_VERSION;
    }

    @Override
    public List<Channel> channels(InstrumentSheet sheet) {
      Unit unit = Unit.named(sheet.settings().text("unit"));
      if (fault != Fault.TAKES_ANY_MEMBER) {
        sheet.settings().done();
      }
      Channel level = new Channel("level", unit);
      return fault == Fault.NAMES_A_CHANNEL_TWICE ? List.of(level, level) : List.of(level);
    }

    @Override
    public Decoder newDecoder(InstrumentSheet sheet) {
      channels(sheet);
      return new ToyDecoder(
          fault,
          fault == Fault.SHARES_ITS_BUFFER ? ToyDecoder.SHARED : new ByteArrayOutputStream());
    }
  }

  private record ToyDecoder(Fault fault, ByteArrayOutputStream line) implements Decoder {

    private static final ByteArrayOutputStream SHARED = new ByteArrayOutputStream();

    @Override
    public Next opened(Moment at) {
      return fault == Fault.WAKES_IN_THE_PAST ? Next.wake(at) : Next.NOTHING;
    }

    @Override
    public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
      if (fault == Fault.READS_EACH_CHUNK_BY_ITSELF) {
        line.reset();
      }
      if (fault == Fault.NEEDS_AN_ARRAY) {
        buffer.array();
      }
      while (buffer.remaining() > (fault == Fault.LEAVES_BYTES ? 1 : 0)) {
        byte b = buffer.get();
        if (b == '\n') {
          read(at, line.toString(StandardCharsets.ISO_8859_1), sink);
          line.reset();
        } else if (line.size() < 20) {
          line.write(b);
        }
      }
      return Next.NOTHING;
    }

    private void read(Moment at, String text, Sink sink) {
      if (!text.matches("[0-9]+")) {
        if (fault == Fault.THROWS_AT_GARBAGE) {
          throw new NumberFormatException(text);
        }
        boolean raw = fault == Fault.TELLS_CONTROL_CHARACTERS;
        sink.rejected(new Rejected(at, raw ? "\r" : "…", "not a whole number"));
        return;
      }
      double value = fault == Fault.GIVES_INFINITY ? 1 / 0.0 : Double.parseDouble(text);
      sink.reading(fault == Fault.USES_A_FOREIGN_CHANNEL ? 1 : 0, value, at);
      if (fault != Fault.FORGETS_THE_FRAME) {
        sink.frame(at);
      }
    }

    @Override
    public void lost(Moment at) {
      if (fault != Fault.KEEPS_HALF_A_FRAME_WHEN_LOST) {
        line.reset();
      }
    }
  }
}
