package meniscus.drivers.hand;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.sheet.SheetChannel;

/**
 * Readings typed by a person, one a line: a number, or the low and the high of a swinging column.
 *
 * <pre>
 * 28.1                 the only channel
 * test_pressure 28.1   one of several
 * 27.5..28.7           low and high of a column that swings; 27.5-28.7 and 27.5 to 28.7 say the same
 * 700 mmH2O            in another unit than the channel's
 * </pre>
 *
 * <p>Each channel of the sheet is followed by one named {@code …_half_swing}: half of high minus
 * low, 0 for a single number. A column that swings to and fro evenly spends most of its time near
 * the ends: its standard deviation is half swing / √2 (the arc sine distribution, JCGM 101:2008,
 * 6.4.6: variance (high − low)² / 8).
 */
public final class ByHandDriver implements InstrumentDriver {

  @Override
  public String id() {
    return "by-hand";
  }

  @Override
  public String summary() {
    return "readings typed by a person: a number, or low and high of a swinging column";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public List<Channel> channels(InstrumentSheet sheet) {
    List<Channel> channels = new ArrayList<>();
    for (SheetChannel one : typed(sheet)) {
      channels.add(one.channel());
      channels.add(new Channel(one.channel().name() + Channel.HALF_SWING, one.channel().unit()));
    }
    return SheetChannel.each(sheet.settings().where(), channels);
  }

  @Override
  public Decoder newDecoder(InstrumentSheet sheet) {
    channels(sheet);
    return new ByHandDecoder(typed(sheet));
  }

  private static List<SheetChannel> typed(InstrumentSheet sheet) {
    Settings settings = sheet.settings();
    List<SheetChannel> typed = new ArrayList<>();
    for (Settings one : settings.list("channels")) {
      SheetChannel channel = SheetChannel.of(one);
      one.done();
      if (channel.channel().unit().offset() != 0) {
        throw new Refusal(
            one.where()
                + ": a swing cannot be written in "
                + channel.channel().unit().symbol()
                + "; use a unit that begins at nothing, such as K");
      }
      typed.add(channel);
    }
    settings.done();
    return typed;
  }
}
