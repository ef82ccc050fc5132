package meniscus.recorder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.core.domain.Dependency;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Rules of the house for single files: numbers have reasons, and files do not go in circles. */
class SourceRulesTest {

  private static final Pattern NUMBER =
      Pattern.compile("\\bstatic final (?:double|float|int|long)(?:\\[\\])* \\w+");

  /** A number that someone chose is worth no more than the reason that stands beside it. */
  @Test
  void everyNumberInCoreHasItsReasonBesideIt() throws IOException {
    assertEquals(1, unexplained(List.of("  static final double A = 1;")).size());
    assertEquals(0, unexplained(List.of("  static final double A = 1; // by definition")).size());
    List<String> group =
        List.of(
            "  // Our own choice.",
            "  static final int A = 1;",
            "  static final int B =",
            "      2;",
            "",
            "  static final int C = 3;");
    assertEquals(List.of(5), unexplained(group), "a group ends with an empty line");
    List<String> found = new ArrayList<>();
    int seen = 0;
    try (Stream<Path> files = Files.walk(Path.of("..", "core", "src", "main", "java"))) {
      for (Path file : files.filter(each -> each.toString().endsWith(".java")).toList()) {
        List<String> lines = Files.readAllLines(file, StandardCharsets.UTF_8);
        seen += (int) lines.stream().filter(line -> NUMBER.matcher(line).find()).count();
        unexplained(lines).forEach(at -> found.add(file + ": " + lines.get(at).strip()));
      }
    }
    assertTrue(seen > 300, "the rule must see the numbers of core, not " + seen);
    assertEquals(List.of(), found);
  }

  /** Numbers with no comment in their statement, above it or above their group. */
  private static List<Integer> unexplained(List<String> lines) {
    List<Integer> found = new ArrayList<>();
    boolean explained = false;
    boolean open = false; // a statement of more than one line
    boolean own = false; // whose comment stands in the line of its name
    for (int at = 0; at < lines.size(); at++) {
      String line = lines.get(at).strip();
      boolean number = NUMBER.matcher(line).find();
      if (line.startsWith("//") || line.endsWith("*/")) {
        explained = true;
      } else if (number) {
        own = commented(lines, at);
        if (!explained && !own) {
          found.add(at);
        }
        open = !line.contains(";");
      } else if (open) {
        open = !line.contains(";");
      } else if (!line.startsWith("@")) {
        explained = false;
      }
    }
    return found;
  }

  private static boolean commented(List<String> lines, int from) {
    for (int at = from; at < lines.size(); at++) {
      if (lines.get(at).contains("//")) {
        return true;
      }
      if (lines.get(at).contains(";")) {
        return false;
      }
    }
    return false;
  }

  /**
   * Whoever opens a file should not have to open the one that opens it. Left out are types with
   * those they permit (a sealed family is one thing in several files); files are told by their
   * outermost type.
   */
  @Test
  void filesOfAPackageKnowEachOtherInOneDirection() {
    Map<String, Set<String>> knows = new TreeMap<>();
    for (JavaClass each :
        new ClassFileImporter()
            .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
            .withImportOption(location -> !location.contains("-tests.jar"))
            .importPackages("meniscus")) {
      for (Dependency dependency : each.getDirectDependenciesFromSelf()) {
        JavaClass from = outermost(each);
        JavaClass to = outermost(dependency.getTargetClass().getBaseComponentType());
        if (!from.equals(to)
            && from.getPackageName().equals(to.getPackageName())
            && !family(from, to)) {
          knows.computeIfAbsent(from.getName(), name -> new TreeSet<>()).add(to.getName());
        }
      }
    }
    assertTrue(knows.size() > 300, "the rule must see the program's files, not " + knows.size());
    assertEquals(CIRCLES, circles(knows));
  }

  private static JavaClass outermost(JavaClass type) {
    JavaClass outer = type;
    while (outer.getEnclosingClass().isPresent()) {
      outer = outer.getEnclosingClass().get();
    }
    return outer;
  }

  private static boolean family(JavaClass one, JavaClass other) {
    return one.reflect().isSealed() && other.isAssignableTo(one.getName())
        || other.reflect().isSealed() && one.isAssignableTo(other.getName());
  }

  /** Sets of files each of which reaches every other. */
  private static Set<String> circles(Map<String, Set<String>> knows) {
    Map<String, Set<String>> reached = new HashMap<>();
    knows.keySet().forEach(name -> reached.put(name, reachedFrom(name, knows)));
    return knows.keySet().stream()
        .filter(name -> reached.get(name).contains(name))
        .map(
            name ->
                reached.get(name).stream()
                    .filter(other -> reached.getOrDefault(other, Set.of()).contains(name))
                    .collect(Collectors.joining(" ")))
        .map(circle -> circle.replace("meniscus.", ""))
        .collect(Collectors.toCollection(TreeSet::new));
  }

  private static Set<String> reachedFrom(String name, Map<String, Set<String>> knows) {
    Set<String> reached = new TreeSet<>();
    List<String> next = new ArrayList<>(knows.getOrDefault(name, Set.of()));
    while (!next.isEmpty()) {
      String at = next.remove(next.size() - 1);
      if (reached.add(at)) {
        next.addAll(knows.getOrDefault(at, Set.of()));
      }
    }
    return reached;
  }

  private static final Set<String> CIRCLES = Set.of();
}
