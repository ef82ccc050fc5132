package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Optional;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.LiveEvents;
import meniscus.recorder.session.TestRecorder;
import meniscus.recorder.session.TestSession;

/** The test that runs, if one does, and how the last one ended. */
final class Capture {

  private final LiveEvents events;
  private Optional<LiveTest> running = Optional.empty();
  private Optional<String> preparing = Optional.empty();
  private Optional<ObjectNode> last = Optional.empty();

  Capture(LiveEvents events) {
    this.events = events;
  }

  /** Something else is done before a test, or between two, that this page did not begin. */
  void prepares(String what) {
    synchronized (this) {
      running = Optional.empty();
      preparing = Optional.of(what);
    }
    changed();
  }

  /** Shows a session from here on; call before it runs. */
  void follow(String name, TestSession session, LiveTest.Settings settings) {
    LiveTest test = new LiveTest(name, session, events, settings);
    synchronized (this) {
      running = Optional.of(test);
      preparing = Optional.empty();
      last = Optional.empty();
    }
    test.state(session.ladder().state());
    session.listen(test);
    changed();
  }

  /** Whatever was done beside tests is over; nothing is said of it here. */
  void rests() {
    synchronized (this) {
      running = Optional.empty();
      preparing = Optional.empty();
    }
    changed();
  }

  /** The session has ended with this. */
  void ended(TestRecorder.Outcome outcome) {
    ObjectNode json = JsonOut.object();
    json.put("points", outcome.points().size()).put("open_rungs", outcome.openRungs());
    json.put("doubtful", outcome.doubtful());
    json.put("finished", outcome.folder().isPresent());
    end(json);
  }

  /** The session broke off. */
  void failed(String why) {
    end(JsonOut.object().put("failed", why));
  }

  private void end(ObjectNode json) {
    synchronized (this) {
      running.ifPresent(test -> json.put("name", test.name()).put("rungs", test.rungs()));
      last = Optional.of(json);
      running = Optional.empty();
      preparing = Optional.empty();
    }
    changed();
  }

  synchronized Optional<LiveTest> running() {
    return running;
  }

  /**
   * @throws Refused when no test runs
   */
  LiveTest runningOrRefuse() throws HttpError {
    return running().orElseThrow(() -> HttpError.notNow("no test is running: start one first"));
  }

  /** Tells viewers to ask for the state anew. */
  void changed() {
    events.tell("changed", JsonOut.object());
  }

  void addTo(ObjectNode state) {
    Optional<LiveTest> test = running();
    state.put("running", test.isPresent());
    test.ifPresent(one -> state.set("test", one.json()));
    synchronized (this) {
      preparing.ifPresent(what -> state.put("prepares", what));
      last.ifPresent(ended -> state.set("last", ended));
    }
  }
}
