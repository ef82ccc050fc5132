package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.Client;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.RemoteViewers;
import meniscus.recorder.page.http.Request;
import meniscus.recorder.page.http.Response;

/** The shop network's door: who comes in by the code, and what guests may ask. */
final class GuestDoor {

  /** What a guest gets before it has typed the code. */
  private static final Set<String> BEFORE_CODE =
      Set.of("GET /code.js", "GET /build.js", "GET /style.css", "GET /mark.svg");

  private final WebFiles files;
  private final ControlLease charge;
  private final Capture capture;
  private Optional<RemoteViewers> guests = Optional.empty();

  GuestDoor(WebFiles files, ControlLease charge, Capture capture) {
    this.files = files;
    this.charge = charge;
    this.capture = capture;
  }

  /**
   * @param port that guests ask at
   * @param showCode is given the code, and a new one each time one has been used
   */
  synchronized RemoteViewers open(int port, Consumer<String> showCode) {
    if (guests.isEmpty()) {
      guests = Optional.of(new RemoteViewers(port, System::nanoTime, showCode));
    }
    return guests.get();
  }

  private synchronized Optional<RemoteViewers> here() {
    return guests;
  }

  ArrayNode json() {
    return here().map(RemoteViewers::json).orElseGet(() -> JsonOut.object().arrayNode());
  }

  /** At the bench somebody gives a guest charge, or takes it back. */
  Response guests(Request asked) throws HttpError {
    if (asked.guest().isPresent()) {
      throw HttpError.forbidden("only the bench's own page lets guests take charge");
    }
    JsonIn in = JsonIn.read(asked.body(), Set.of("client", "guest", "may_command"));
    int guest =
        in.optionalWhole("guest").orElseThrow(() -> HttpError.wrong("\"guest\" is missing"));
    boolean may = in.flag("may_command");
    String client = Client.checked(in.optionalText("client"));
    boolean could =
        here()
            .orElseThrow(() -> HttpError.notNow("the page is not shared: start it with --share"))
            .allow(guest, may);
    if (could && !may && !client.isEmpty()) {
      charge.take(client);
    }
    capture.changed();
    return Response.json(JsonOut.object().put("guest", guest));
  }

  /** What comes in here and is not simply passed on. */
  Optional<Response> at(Request asked, RemoteViewers let) throws HttpError {
    if (asked.way().equals("POST /api/code")) {
      String code = JsonIn.read(asked.body(), Set.of("code")).text("code");
      return Optional.of(
          Response.cookie(JsonOut.object().put("let_in", true), let.letIn(code, asked.from())));
    }
    if (asked.guest().isEmpty()) {
      if (asked.way().equals("GET /")) {
        return files.at("/code");
      }
      if (BEFORE_CODE.contains(asked.way())) {
        return Optional.empty();
      }
      throw HttpError.unauthorised("type the code that the terminal shows, on the page");
    }
    if (!asked.mayCommand() && asked.way().startsWith("POST ")) {
      return Optional.of(notYet(asked, let));
    }
    return Optional.empty();
  }

  private Response notYet(Request asked, RemoteViewers let) throws HttpError {
    if (asked.way().equals("POST /api/command") && Commands.isTake(asked.body())) {
      let.asks(asked.guest().orElseThrow());
      capture.changed();
      return Response.json(202, JsonOut.object().put("asked", true));
    }
    throw HttpError.forbidden("guests watch: ask for charge first");
  }
}
