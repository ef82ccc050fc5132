package meniscus.recorder.plugin;

import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;

/**
 * A plugin's driver that can be asked without fear. Its decoders are not guarded here: whoever owns
 * the line's thread does that, since a thread a chunk would cost too much.
 */
final class GuardedDriver extends Guarded implements InstrumentDriver {

  private static final int MOST_CHANNELS = 1000;

  private final InstrumentDriver driver;

  GuardedDriver(
      InstrumentDriver driver, String id, String summary, int version, PluginGuard guard) {
    super(id, summary, version, guard);
    this.driver = driver;
  }

  @Override
  public List<Channel> channels(InstrumentSheet sheet) {
    return asked("channels()", () -> checked(List.copyOf(driver.channels(sheet))));
  }

  @Override
  public Decoder newDecoder(InstrumentSheet sheet) {
    return asked("newDecoder()", () -> driver.newDecoder(sheet));
  }

  private static List<Channel> checked(List<Channel> channels) {
    long names = channels.stream().map(Channel::name).distinct().count();
    if (channels.isEmpty() || channels.size() > MOST_CHANNELS || names != channels.size()) {
      throw new PluginFault(
          "channels() gives none, more than " + MOST_CHANNELS + ", or one name twice");
    }
    return channels;
  }

  @Override
  String what() {
    return "the driver";
  }
}
