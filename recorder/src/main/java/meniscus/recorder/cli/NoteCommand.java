package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Amount;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.archive.NotesOfTest;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.QuantityOption;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.Notes;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.report.ChangeWords;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code meniscus note}: writes to a finished test what came to mind later. */
@Command(
    name = "note",
    mixinStandardHelpOptions = true,
    sortOptions = false,
    description = {
      "Writes a note to a finished test, attaches photos, or says which earlier test its changes set",
      "out from. Without any of these, shows what is written. Nothing measured is touched."
    },
    footer = {
      "",
      "  meniscus note tests/bowl \"cutter chattered at the last pass\"",
      "  meniscus note tests/bowl --photo bowl.jpg --caption \"after blending\"",
      "  meniscus note tests/short-side --made-from as-received",
      "  meniscus note tests/bowl --set-aside \"0.100 in\" --because \"spring held the valve\"",
      "  meniscus note tests/bowl --change \"valve guide\" --before \"42 mm\" --after \"38 mm\"",
      "  meniscus note tests/bowl --take-back \"0.100 in\"",
      "  meniscus note tests/bowl"
    })
final class NoteCommand implements Callable<Integer> {

  private final Console console;

  @Parameters(index = "0", paramLabel = "DIR", description = "The test folder.")
  private Path folder;

  @Parameters(index = "1", arity = "0..1", paramLabel = "TEXT", description = "The note.")
  private Optional<String> text = Optional.empty();

  @Option(
      names = "--photo",
      paramLabel = "FILE",
      description = "JPEG or PNG to be copied into the test folder; may stand several times.")
  private List<Path> photos = List.of();

  @Option(names = "--caption", paramLabel = "TEXT", description = "What the photo shows.")
  private String caption = "";

  @Option(
      names = {"--made-from", "--follows"},
      paramLabel = "TEST",
      description = {
        "Name of the test that this one's change notes set out from.",
        "Left out: the one before it of the same port."
      })
  private Optional<String> follows = Optional.empty();

  @Option(
      names = "--set-aside",
      paramLabel = "LIFT",
      converter = QuantityOption.Length.class,
      description =
          "Take the points at a lift out of every mean, comparison and finding; they stay in the"
              + " folder and are shown struck through. Needs --because.")
  private Value setAside;

  @Option(
      names = "--because",
      paramLabel = "TEXT",
      description = "What was wrong with the point: \"spring held the valve\".")
  private Optional<String> because = Optional.empty();

  @Option(
      names = "--take-back",
      paramLabel = "LIFT",
      converter = QuantityOption.Length.class,
      description = "Let the points at a lift count again.")
  private Value takeBack;

  @Option(
      names = "--change",
      paramLabel = "WHAT",
      description =
          "Note a change on the part that the plan did not: \"shortened the valve guide\".")
  private Optional<String> change = Optional.empty();

  @Option(
      names = "--where",
      paramLabel = "PLACE",
      description = "With --change: where on the port.")
  private String where = "";

  @Option(
      names = "--before",
      paramLabel = "SIZE",
      description =
          "With --change: how it was, as a length, an angle, an area, a volume or in words:"
              + " \"24.0 mm\", \"45 deg\", \"61.5 cm3\", \"120 grit\".")
  private Optional<String> before = Optional.empty();

  @Option(names = "--after", paramLabel = "SIZE", description = "With --change: how it is.")
  private Optional<String> after = Optional.empty();

  @Option(
      names = "--left",
      paramLabel = "LENGTH",
      converter = QuantityOption.Length.class,
      description = "With --change: what remains there, of a guide or a wall.")
  private Value left;

  @Option(
      names = "--at-least",
      paramLabel = "LENGTH",
      converter = QuantityOption.Length.class,
      description = "With --left: what is to remain, as the engine's maker says.")
  private Value atLeast;

  @Option(names = "--json", description = "One JSON object with all that is written.")
  private boolean json;

  NoteCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    if (text.isPresent() && text.get().isBlank()) {
      throw CommandFailed.usage("the note is empty: write what there is to say");
    }
    if (setAside != null && because.filter(words -> !words.isBlank()).isEmpty()) {
      throw CommandFailed.usage(
          "--set-aside needs its reason: --because \"spring held the valve\"");
    }
    if (because.isPresent() && setAside == null) {
      throw CommandFailed.usage("--because goes with --set-aside LIFT");
    }
    if (change.isEmpty()
        && (!where.isEmpty() || before.isPresent() || after.isPresent() || left != null)) {
      throw CommandFailed.usage("--where, --before, --after and --left go with --change WHAT");
    }
    if (atLeast != null && left == null) {
      throw CommandFailed.usage("--at-least goes with --left: how much was measured to remain");
    }
    try {
      TestFolder test = TestFolder.open(folder);
      NotesOfTest notes = NotesOfTest.of(test);
      if (text.isPresent()
          || !photos.isEmpty()
          || follows.isPresent()
          || change.isPresent()
          || setAside != null
          || takeBack != null) {
        test.refusePacked();
        try (FolderLock lock = FolderLock.take(folder)) {
          notes = written(NotesOfTest.of(TestFolder.open(lock.folder())));
        }
      }
      tell(notes);
      return ExitCode.DONE;
    } catch (IOException | FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    }
  }

  private NotesOfTest written(NotesOfTest before) throws IOException {
    NotesOfTest notes = before;
    for (Path photo : photos) {
      notes = notes.withPhoto(photo, caption);
    }
    if (follows.isPresent()) {
      notes = notes.following(follows.get());
    }
    if (change.isPresent()) {
      notes = notes.changing(changeNote(change.get()));
    }
    if (takeBack != null) {
      notes = notes.takingBack(takeBack.si());
    }
    if (setAside != null) {
      notes = notes.settingAside(setAside.si(), because.orElseThrow(), Clock.systemUTC().instant());
    }
    if (text.isPresent()) {
      notes = notes.withNote(Clock.systemUTC().instant(), text.get());
    }
    return notes;
  }

  private Plan.ChangeNote changeNote(String what) {
    try {
      return new Plan.ChangeNote(
          what,
          where,
          before.map(Amount::of),
          after.map(Amount::of),
          left == null
              ? Optional.empty()
              : Optional.of(
                  new Plan.Left(
                      left.si(),
                      atLeast == null ? OptionalDouble.empty() : OptionalDouble.of(atLeast.si()))),
          Optional.empty());
    } catch (Refusal e) {
      throw CommandFailed.usage(e.getMessage());
    }
  }

  private void tell(NotesOfTest written) throws IOException {
    Notes notes = written.notes();
    if (json) {
      console.json(tree(notes));
      return;
    }
    for (LiftPoint point : written.points()) {
      if (point.isSetAside()) {
        console.say(
            "lift "
                + new InUnits(written.test().units()).lift(point.liftM())
                + " is "
                + point.setAsideBecause());
      }
    }
    ChangeWords.of(written.plan()).forEach(change -> console.say("changed: " + change));
    notes.follows().ifPresent(earlier -> console.say("follows " + earlier));
    for (Notes.Note note : notes.notes()) {
      console.say(
          note.at().map(at -> at.toString().substring(0, 16) + "  ").orElse("") + note.text());
    }
    for (Notes.Photo photo : notes.photos()) {
      console.say(photo.file() + (photo.caption().isEmpty() ? "" : ": " + photo.caption()));
    }
    if (notes.equals(Notes.NONE) && written.plan().changes().isEmpty()) {
      console.say("nothing is written");
    }
  }

  private static ObjectNode tree(Notes notes) {
    ObjectNode tree = JsonOut.object();
    tree.put("follows", notes.follows().orElse(null));
    JsonOut.list(
        tree,
        "notes",
        notes.notes(),
        (node, note) ->
            node.put("at", note.at().map(Object::toString).orElse(null)).put("text", note.text()));
    JsonOut.array(tree, "changes", notes.changes().stream().map(one -> one.what()).toList());
    JsonOut.list(
        tree,
        "set_aside",
        notes.aside(),
        (node, one) -> node.put("rung", one.rung()).put("because", one.because()));
    JsonOut.list(
        tree,
        "photos",
        notes.photos(),
        (node, photo) -> node.put("file", photo.file()).put("caption", photo.caption()));
    return tree;
  }
}
