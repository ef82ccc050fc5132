package meniscus.recorder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.core.domain.Dependency;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.io.IOException;
import java.lang.reflect.Method;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.Type;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** Rules of the house for single files: numbers have reasons, and files do not go in circles. */
class SourceRulesTest {

  private static final Pattern NUMBER =
      Pattern.compile("\\bstatic final (?:double|float|int|long)(?:\\[\\])* \\w+");

  /** Files that may know what knows them, and why. */
  private static final Map<String, String> KNOW_THEIR_OWN =
      Map.ofEntries(
          Map.entry("core.budget.FlowBudget", "its parts are worked out from its inputs"),
          Map.entry("core.compare.Comparison", "asks its parts, which take it for an answer"),
          Map.entry("core.flow.OrificePlate", "its limits of use, of its own sizes"),
          Map.entry("core.settle.NoiseShape", "has itself worked out in blocks"),
          Map.entry("drivers.sheet.CounterRole", "a role makes the channel that plays it"),
          Map.entry("drivers.simulated.Scenario", "names the scenario of the demo"),
          Map.entry("drivers.simulated.SimulatedBench", "owns the instruments that look at it"),
          Map.entry("recorder.cli.figure.FigureCommand", "lists the commands that print so"),
          Map.entry("recorder.disk.Disk", "names the real one"),
          Map.entry("recorder.report.CalibrationPage", "its sections draw as it does"),
          Map.entry("recorder.report.Report", "its sections draw as it does"));

  private static JavaClasses program;

  @BeforeAll
  static void readTheProgram() {
    program =
        new ClassFileImporter()
            .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
            .withImportOption(location -> !location.contains("-tests.jar"))
            .importPackages("meniscus");
  }

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
    for (int at = 0; at < lines.size(); at++) {
      String line = lines.get(at).strip();
      boolean number = NUMBER.matcher(line).find();
      if (line.startsWith("//") || line.endsWith("*/")) {
        explained = true;
      } else if (number) {
        if (!explained && !commented(lines, at)) {
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
   * Whoever opens a file should not have to open the one that opens it. Left out are sealed
   * families (one thing in several files); files are told by their outermost type.
   */
  @Test
  void filesOfAPackageKnowEachOtherInOneDirection() {
    Map<String, Set<String>> knows = new TreeMap<>();
    for (JavaClass each : program) {
      for (Dependency dependency : each.getDirectDependenciesFromSelf()) {
        JavaClass from = outermost(each);
        JavaClass to = outermost(dependency.getTargetClass().getBaseComponentType());
        if (!from.equals(to)
            && from.getPackageName().equals(to.getPackageName())
            && !knows.getOrDefault(from.getName(), Set.of()).contains(to.getName())
            && !family(from, to)) {
          knows.computeIfAbsent(from.getName(), name -> new TreeSet<>()).add(to.getName());
        }
      }
    }
    assertTrue(knows.size() > 300, "the rule must see the program's files, not " + knows.size());
    assertEquals(Set.of(), circles(without(KNOW_THEIR_OWN.keySet(), knows)));
    Set<String> tangled =
        circles(knows).stream()
            .flatMap(circle -> Stream.of(circle.split(" ")))
            .collect(Collectors.toSet());
    assertEquals(
        Set.of(),
        KNOW_THEIR_OWN.keySet().stream()
            .filter(name -> !tangled.contains(name))
            .collect(Collectors.toSet()),
        "no exception any more");
  }

  /** A sealed type takes itself apart in one place; the compiler does not see whether wholly. */
  @Test
  void everyFoldKnowsItsWholeFamily() {
    int seen = 0;
    for (JavaClass each : program) {
      if (!each.isInterface() || !each.reflect().isSealed()) {
        continue;
      }
      for (Method method : each.reflect().getDeclaredMethods()) {
        if (method.getName().equals("fold") && method.isDefault()) {
          seen++;
          assertEquals(
              Stream.of(each.reflect().getPermittedSubclasses())
                  .map(Class::getName)
                  .collect(Collectors.toSet()),
              Stream.of(method.getGenericParameterTypes())
                  .map(type -> ((ParameterizedType) type).getActualTypeArguments()[0])
                  .map(Type::getTypeName)
                  .collect(Collectors.toSet()));
        }
      }
    }
    assertTrue(seen >= 10, "the rule must see the families, not " + seen);
  }

  /** Records with as many parts as their thing has, and why they are not grouped. */
  private static final Map<String, String> MANY_PARTS =
      Map.ofEntries(
          Map.entry("core.bench.Bench", "the members of a bench file"),
          Map.entry("core.bench.Calibration", "the members of its file"),
          Map.entry("core.bench.HealthEntry", "one line of the health log"),
          Map.entry("core.budget.Inputs", "the numbers that a budget varies one by one"),
          Map.entry("core.lift.TestCurve", "all of a test that others compare with"),
          Map.entry("core.settle.Candidate", "one row of the settling fit's sums"),
          Map.entry("core.settle.Level", "the settling fit's whole answer"),
          Map.entry("drivers.simulated.Gauge", "the sizes of one gauge, a flat list"),
          Map.entry("recorder.archive.TestSummary", "one line of the archive's index"),
          Map.entry("recorder.journal.Recovered", "what one pass over a journal finds"));

  /** Eight numbers in a row are given in the wrong order sooner or later. */
  @Test
  void aRecordHasFewerThanEightParts() {
    Map<String, Integer> many = new TreeMap<>();
    int seen = 0;
    for (JavaClass each : program) {
      if (each.isRecord()) {
        seen++;
        int parts = each.reflect().getRecordComponents().length;
        if (parts >= 8) {
          many.put(each.getName().replace("meniscus.", ""), parts);
        }
      }
    }
    assertTrue(seen > 200, "the rule must see the records, not " + seen);
    assertEquals(new TreeSet<>(MANY_PARTS.keySet()), many.keySet(), many::toString);
  }

  private static JavaClass outermost(JavaClass type) {
    JavaClass outer = type;
    while (outer.getEnclosingClass().isPresent()) {
      outer = outer.getEnclosingClass().get();
    }
    return outer;
  }

  private static boolean family(JavaClass one, JavaClass other) {
    Set<JavaClass> shared = heads(one);
    shared.retainAll(heads(other));
    return !shared.isEmpty();
  }

  /** The sealed types of its package that it is or belongs to. */
  private static Set<JavaClass> heads(JavaClass type) {
    return Stream.concat(
            Stream.of(type),
            Stream.concat(
                type.getAllRawSuperclasses().stream(), type.getAllRawInterfaces().stream()))
        .filter(each -> each.getPackageName().equals(type.getPackageName()))
        .filter(each -> each.reflect().isSealed())
        .collect(Collectors.toCollection(HashSet::new));
  }

  private static Map<String, Set<String>> without(
      Set<String> names, Map<String, Set<String>> knows) {
    Map<String, Set<String>> rest = new TreeMap<>(knows);
    rest.keySet().removeIf(name -> names.contains(name.replace("meniscus.", "")));
    return rest;
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
}
