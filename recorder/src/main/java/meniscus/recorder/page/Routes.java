package meniscus.recorder.page;

import java.io.IOException;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.Request;
import meniscus.recorder.page.http.Response;
import meniscus.recorder.self.ProgramFault;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** What answers which way, and what a fault of that comes to. */
final class Routes {

  private static final Logger LOG = LoggerFactory.getLogger(Routes.class);

  private final HeavyWork heavy = new HeavyWork(System::nanoTime, TimeUnit.NANOSECONDS::sleep);
  private final Map<String, Route> routes = new HashMap<>();

  /** How one way is answered. */
  @FunctionalInterface
  interface Answer {
    Response to(Request asked) throws HttpError, IOException;
  }

  private record Route(Answer answer, boolean heavy) {}

  /**
   * @param way such as {@code GET /api/state}
   */
  Routes light(String way, Answer answer) {
    routes.put(way, new Route(answer, false));
    return this;
  }

  /** What reads whole tests: answered a few at a time. */
  Routes heavy(String way, Answer answer) {
    routes.put(way, new Route(answer, true));
    return this;
  }

  /** Empty where nothing answers that way. */
  Optional<Response> answer(Request asked) throws HttpError {
    Route route = routes.get(asked.way());
    if (route == null) {
      return Optional.empty();
    }
    try {
      return Optional.of(
          route.heavy()
              ? heavy.answer(asked.guest().isPresent(), () -> route.answer().to(asked))
              : route.answer().to(asked));
    } catch (BadTestFolder | FileNotAccepted e) {
      return Optional.of(Response.error(422, e.getMessage()));
    } catch (IOException e) {
      return Optional.of(Response.error(500, e.getMessage()));
    } catch (RuntimeException e) {
      LOG.debug("{} failed", asked.way());
      return Optional.of(Response.error(500, ProgramFault.told(e)));
    }
  }

  /** Lets something be read before anyone asks for it. */
  void foresee(String way) {
    try {
      routes.get(way).answer().to(Request.byNobody(way));
    } catch (HttpError | IOException | RuntimeException e) {
      LOG.debug("not readable yet; who asks is told why", e);
    }
  }
}
