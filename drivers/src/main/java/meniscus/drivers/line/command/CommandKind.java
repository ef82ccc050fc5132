package meniscus.drivers.line.command;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.hash.Sha256;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;

/**
 * A program whose standard output is read as a line: {@code {"kind": "command", "command": ["my-
 * bridge", "--rate", "50"]}}. It is started without a shell; its standard input stays open, and
 * carries what a driver sends.
 *
 * <p>A bench file that names a program is code from whoever wrote it, so nothing runs that nobody
 * has agreed to.
 */
public final class CommandKind implements LineKind {

  public static final String ID = "command";

  /** Who says whether a program may run. */
  @FunctionalInterface
  public interface Agreement {

    /**
     * @param words the program and its arguments
     * @param sha256 of these, and of every file among them
     * @return why it must not run; empty when it may
     */
    Optional<String> refusal(List<String> words, String sha256);
  }

  private final Agreement agreement;

  /** Runs nothing: there is nobody to agree. */
  public CommandKind() {
    this((words, sha256) -> Optional.of("nobody can be asked whether it may run"));
  }

  public CommandKind(Agreement agreement) {
    this.agreement = agreement;
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String summary() {
    return "the standard output of a program that you agreed to";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public LineOpener opener(Settings settings) {
    settings.text("kind", id());
    List<String> words = settings.texts("command");
    settings.done();
    if (words.isEmpty() || words.get(0).isBlank()) {
      throw new Refusal(
          settings.where() + ": \"command\" must be the program and its arguments, as [\"prog\"]");
    }
    Path program =
        found(words.get(0))
            .orElseThrow(
                () ->
                    new Refusal(
                        settings.where()
                            + ": there is no program \""
                            + words.get(0)
                            + "\" here: is it installed?"));
    Optional<String> refusal = agreement.refusal(words, sha256(program, words));
    if (refusal.isPresent()) {
      throw new Refusal(
          settings.where() + ": \"" + String.join(" ", words) + "\" is not run: " + refusal.get());
    }
    return new Opener(words);
  }

  /** A name without a folder is looked for where a shell looks. */
  private static Optional<Path> found(String name) {
    try {
      if (name.contains("/") || name.contains(File.separator)) {
        return Optional.of(Path.of(name)).filter(Files::isExecutable);
      }
      String path = System.getenv().getOrDefault("PATH", "");
      for (String folder : path.split(File.pathSeparator)) {
        for (String ending : List.of("", ".exe")) {
          Path file = Path.of(folder, name + ending);
          if (Files.isRegularFile(file) && Files.isExecutable(file)) {
            return Optional.of(file);
          }
        }
      }
    } catch (InvalidPathException noPath) {
      return Optional.empty();
    }
    return Optional.empty();
  }

  /**
   * Of the words and of what stands in every file among them, so that a script that has changed is
   * asked for again.
   */
  static String sha256(Path program, List<String> words) {
    try {
      Sha256 hash = new Sha256();
      for (String word : words) {
        hash.add(word.getBytes(StandardCharsets.UTF_8)).add(new byte[1]);
      }
      hash.add(program);
      for (String word : words.subList(1, words.size())) {
        Path file = asFile(word);
        if (file != null) {
          hash.add(file);
        }
      }
      return hash.hex();
    } catch (IOException unreadable) {
      throw new Refusal("\"" + String.join(" ", words) + "\" cannot be read", unreadable);
    }
  }

  private static Path asFile(String word) {
    try {
      Path file = Path.of(word);
      return Files.isRegularFile(file) ? file : null;
    } catch (InvalidPathException noPath) {
      return null;
    }
  }

  private record Opener(List<String> words) implements LineOpener {

    @Override
    public String name() {
      return String.join(" ", words);
    }

    @Override
    public Line open() throws LineLost {
      try {
        return new CommandLine(words.get(0), new ProcessBuilder(words).start());
      } catch (IOException failed) {
        throw new LineLost(words.get(0) + " cannot be started: " + failed.getMessage(), failed);
      }
    }
  }
}
