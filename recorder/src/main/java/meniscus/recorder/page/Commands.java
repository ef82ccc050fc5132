package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import meniscus.core.pipeline.Command;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.Client;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.Response;

/** What a viewer asks of the test: {@code {"do": "keep"}}. */
record Commands(Capture capture, ControlLease charge) {
  private static final Set<String> MEMBERS = Set.of("do", "client", "rung", "now", "text");
  private static final String WORDS =
      "keep, redo, skip, undo, confirm, seat, note, read, stop, take";
  private static final int LONGEST_NOTE = 2_000;

  Response take(byte[] body) throws HttpError {
    JsonIn in = JsonIn.read(body, MEMBERS);
    String word = in.text("do");
    String client = Client.checked(in.optionalText("client"));
    if (word.equals("take")) {
      if (client.isEmpty()) {
        throw HttpError.wrong("taking charge needs \"client\": a name of your own making");
      }
      if (charge.take(client)) {
        capture.changed();
      }
      return Response.json(JsonOut.object().put("in_charge", true));
    }
    LiveTest test = capture.runningOrRefuse();
    if (!charge.allows(client)) {
      throw HttpError.notNow(
          "another page is in charge of this test: press Take charge on this one first");
    }
    return Response.json(done(test, word, in));
  }

  /** True for a request to be put in charge. */
  static boolean isTake(byte[] body) throws HttpError {
    return JsonIn.read(body, MEMBERS).text("do").equals("take");
  }

  private ObjectNode done(LiveTest test, String word, JsonIn in) throws HttpError {
    Optional<Integer> rung = in.optionalWhole("rung");
    ObjectNode answer = JsonOut.object().put("done", word);
    switch (word) {
      case "keep" -> answer.put("already", !test.keep(in.flag("now"), rung));
      case "redo" ->
          test.submit(new Command.Redo(rung.map(OptionalInt::of).orElseGet(OptionalInt::empty)));
      case "skip" -> test.submit(new Command.Skip());
      case "undo" -> test.submit(new Command.Undo());
      case "confirm" -> test.submit(confirm(in.text("text")));
      case "seat" -> test.submit(seat(in.optionalText("text").orElse("")));
      case "note" -> test.submit(new Command.Note(note(in.text("text"))));
      case "read" -> test.type(in.text("text"));
      case "stop" -> test.submit(new Command.Stop("by the operator"));
      default -> throw HttpError.wrong("no command \"" + word + "\"; there are: " + WORDS);
    }
    return answer;
  }

  private static Command.Confirm confirm(String lift) throws HttpError {
    try {
      return Command.Confirm.of(lift);
    } catch (Refusal e) {
      throw HttpError.wrong("confirm takes a lift such as \"0.500 in\": " + e.getMessage());
    }
  }

  private static Command.Seat seat(String reading) throws HttpError {
    try {
      return Command.Seat.of(reading.strip());
    } catch (Refusal e) {
      throw HttpError.wrong("seat takes what the dial shows, such as 0.0005 in: " + e.getMessage());
    }
  }

  private static String note(String text) throws HttpError {
    String note = text.strip();
    if (note.isEmpty() || note.length() > LONGEST_NOTE) {
      throw HttpError.wrong("a note has 1 to " + LONGEST_NOTE + " characters");
    }
    return note;
  }
}
