package meniscus.recorder.plugin;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.Predicate;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.hash.Sha256;

/**
 * The jars that this user has agreed to run, by their SHA-256, remembered in a file that reads like
 * the output of {@code sha256sum}. A jar that is not among them, or has changed, is asked for;
 * where there is nobody to ask, it is refused.
 */
public final class TrustedJars implements Trust {

  private final Path memory;
  private final Set<String> given;
  private final Set<String> unused;
  private final Optional<Predicate<String>> person;
  private final Consumer<String> told;

  /**
   * @param memory file of the hashes agreed to; need not be there
   * @param given hashes that are agreed to from now on
   * @param person asked a question, says whether he agrees; empty where nobody can be asked
   * @param told what else the person is to know
   * @throws Refusal when one given is no hash
   */
  public TrustedJars(
      Path memory, List<String> given, Optional<Predicate<String>> person, Consumer<String> told) {
    this.memory = memory;
    this.given = new HashSet<>();
    for (String hash : given) {
      if (!hash.matches("[0-9a-fA-F]{64}")) {
        throw new Refusal("\"" + hash + "\" is not the SHA-256 of a jar: 64 hexadecimal digits");
      }
      this.given.add(hash.toLowerCase(Locale.ROOT));
    }
    this.unused = new HashSet<>(this.given);
    this.person = person;
    this.told = told;
  }

  @Override
  public Optional<String> refusal(Path jar) {
    Optional<String> hash = sha256(jar);
    if (hash.isEmpty()) {
      return Optional.of("cannot be read, so nobody knows what it is");
    }
    if (agreed(String.valueOf(jar.getFileName()), hash.get(), question(jar, hash.get()))) {
      return Optional.empty();
    }
    return Optional.of(
        "nobody has agreed to run it: hold its SHA-256 "
            + hash.get()
            + " against what its maker published, then give --trust "
            + hash.get());
  }

  /**
   * The same for a program that a bench file or sheet names.
   *
   * @param words the program and its arguments
   * @param hash of these and of the files among them
   */
  public Optional<String> refusal(List<String> words, String hash) {
    String shown = PluginFault.harmless(String.join(" ", words));
    String question =
        "The bench file names a program whose output is to be read:\n  "
            + shown
            + "\nIt has not run here before as it is now, and can do whatever you can.\nRun it, now"
            + " and later? [y/N] ";
    return agreed(shown, hash, question)
        ? Optional.empty()
        : Optional.of("nobody has agreed to it; if you do, give --trust " + hash);
  }

  private boolean agreed(String name, String hash, String question) {
    unused.remove(hash);
    if (remembered().contains(hash)) {
      return true;
    }
    boolean agreed = given.contains(hash) || person.isPresent() && person.get().test(question);
    if (agreed) {
      remember(name, hash);
    }
    return agreed;
  }

  /** Given hashes that no jar had. */
  public Set<String> unused() {
    return Set.copyOf(unused);
  }

  private String question(Path jar, String hash) {
    String name = PluginFault.harmless(String.valueOf(jar.getFileName()));
    return "The plugin "
        + name
        + " has not run here before"
        + (names().contains(name) ? " as it is now: it has changed" : "")
        + ".\nA plugin is code and can do whatever you can. Hold its SHA-256 against what its maker"
        + " published:\n  "
        + hash
        + "\nRun it, now and later? [y/N] ";
  }

  private List<String> lines() {
    try {
      return Files.readAllLines(memory, StandardCharsets.UTF_8);
    } catch (IOException nothingYet) {
      return List.of();
    }
  }

  private List<String> remembered() {
    return lines().stream().map(line -> line.split("\\s+", 2)[0]).toList();
  }

  private List<String> names() {
    return lines().stream()
        .map(line -> line.split("\\s+", 2))
        .filter(parts -> parts.length == 2)
        .map(parts -> parts[1])
        .toList();
  }

  private void remember(String name, String hash) {
    String line = hash + "  " + PluginFault.harmless(name) + "\n";
    try {
      Path folder = memory.toAbsolutePath().getParent();
      if (folder != null) {
        Files.createDirectories(folder);
      }
      Files.writeString(
          memory,
          line,
          StandardCharsets.UTF_8,
          StandardOpenOption.CREATE,
          StandardOpenOption.APPEND);
    } catch (IOException e) {
      told.accept(memory + " cannot be written, so this jar is asked for again next time: " + e);
    }
  }

  /** SHA-256 of a jar in hex; empty when it cannot be read. */
  public static Optional<String> sha256(Path jar) {
    try {
      return Optional.of(Sha256.hex(jar));
    } catch (IOException unreadable) {
      return Optional.empty();
    }
  }
}
