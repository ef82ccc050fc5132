package meniscus.recorder.outlet;

import java.util.ArrayList;
import java.util.List;
import java.util.function.LongFunction;
import meniscus.core.instrument.Settings;
import meniscus.core.outlet.Fact;
import meniscus.core.outlet.LiveValues;
import meniscus.core.outlet.Outlet;
import meniscus.core.outlet.OutletHost;
import meniscus.core.outlet.OutletPlugin;

/** An outlet whose receiver is this process: remembers what it was sent, and answers as told. */
final class RememberingOutlet implements OutletPlugin {

  private final LongFunction<String> answers;
  private final List<Fact> sent = new ArrayList<>();
  private final List<String> json = new ArrayList<>();
  private int shown;

  /**
   * @param answers what is answered to the fact of a place
   */
  RememberingOutlet(LongFunction<String> answers) {
    this.answers = answers;
  }

  static RememberingOutlet storing() {
    return new RememberingOutlet(place -> "{\"stored_up_to\": " + place + "}");
  }

  synchronized List<Fact> sent() {
    return List.copyOf(sent);
  }

  synchronized List<String> json() {
    return List.copyOf(json);
  }

  synchronized int shown() {
    return shown;
  }

  @Override
  public String id() {
    return "remembering";
  }

  @Override
  public String summary() {
    return "remembers";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public Outlet open(Settings settings, OutletHost host) {
    settings.done();
    return new Outlet() {
      @Override
      public void send(Fact fact, String text) {
        synchronized (RememberingOutlet.this) {
          sent.add(fact);
          json.add(text);
        }
        host.answered(answers.apply(fact.place()));
      }

      @Override
      public void show(LiveValues now, String text) {
        synchronized (RememberingOutlet.this) {
          shown++;
        }
      }

      @Override
      public void close() {}
    };
  }
}
