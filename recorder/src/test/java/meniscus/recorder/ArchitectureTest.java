package meniscus.recorder;

import static com.tngtech.archunit.core.domain.JavaAccess.Predicates.target;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.domain.JavaMethodCall;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.lang.ArchCondition;
import com.tngtech.archunit.lang.ConditionEvents;
import com.tngtech.archunit.lang.SimpleConditionEvent;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.instrument.InstrumentDriver;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** The rules of the house: who may know whom, and who may touch clocks, files and streams. */
class ArchitectureTest {

  /** A type as a sign names it: {@code {@code Type}}. */
  private static final Pattern NAMED_TYPE = Pattern.compile("\\{@code\\s+([A-Z]\\w+)\\s*\\}");

  private static JavaClasses all;

  /** What writes events and remarks as text, and reads them back. */
  private static final Set<String> CODECS = Set.of("EventText.java", "RemarkText.java");

  @BeforeAll
  static void importClasses() {
    all =
        new ClassFileImporter()
            .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
            .withImportOption(location -> !location.contains("-tests.jar"))
            .importPackages("meniscus");
    assertTrue(all.size() > 50, "the rules must see the program's classes");
  }

  @Test
  void coreKnowsNoFilesSocketsThreadsLogsOrJson() {
    noClasses()
        .that()
        .resideInAPackage("meniscus.core..")
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage(
            "java.io..",
            "java.nio.file..",
            "java.nio.channels..",
            "java.net..",
            "java.util.concurrent..",
            "java.util.logging..",
            "com.fazecast..",
            "com.fasterxml..",
            "org.slf4j..",
            "meniscus.drivers..",
            "meniscus.recorder..")
        .check(all);
  }

  @Test
  void coreReadsNoClockAndStartsNoThread() {
    Set<String> forbidden =
        Set.of(
            "java.lang.System.currentTimeMillis",
            "java.lang.System.nanoTime",
            "java.time.Instant.now",
            "java.time.LocalDate.now",
            "java.time.LocalDateTime.now",
            "java.time.ZonedDateTime.now",
            "java.time.Clock.systemUTC",
            "java.time.Clock.systemDefaultZone",
            "java.lang.Thread.start",
            "java.lang.Thread.sleep");
    classes()
        .that()
        .resideInAPackage("meniscus.core..")
        .should(
            new ArchCondition<JavaClass>("call no clock") {
              @Override
              public void check(JavaClass item, ConditionEvents events) {
                for (JavaMethodCall call : item.getMethodCallsFromSelf()) {
                  String name = call.getTargetOwner().getName() + "." + call.getName();
                  if (forbidden.contains(name)) {
                    events.add(SimpleConditionEvent.violated(call, call.getDescription()));
                  }
                }
              }
            })
        .check(all);
  }

  @Test
  void driversDoNotKnowTheRecorder() {
    noClasses()
        .that()
        .resideInAPackage("meniscus.drivers..")
        .should()
        .dependOnClassesThat()
        .resideInAPackage("meniscus.recorder..")
        .check(all);
  }

  @Test
  void packagesFormNoCycles() {
    slices().matching("meniscus.(*).(*)..").should().beFreeOfCycles().check(all);
    slices().matching("meniscus.recorder.page.(**)").should().beFreeOfCycles().check(all);
  }

  @Test
  void onlyTheSerialPackageSeesTheSerialLibrary() {
    noClasses()
        .that()
        .resideOutsideOfPackage("meniscus.drivers.line.serial..")
        .should()
        .dependOnClassesThat()
        .resideInAPackage("com.fazecast..")
        .check(all);
  }

  @Test
  void onlyTheRecorderReadsJson() {
    noClasses()
        .that()
        .resideOutsideOfPackage("meniscus.recorder..")
        .should()
        .dependOnClassesThat()
        .resideInAPackage("com.fasterxml..")
        .check(all);
  }

  @Test
  void onlyTheCommandsAndTheEntryPointPrint() {
    noClasses()
        .that()
        .resideOutsideOfPackages("meniscus.recorder.cli..", "meniscus.recorder")
        .should()
        .accessField(System.class, "out")
        .orShould()
        .accessField(System.class, "err")
        .orShould()
        .callMethodWhere(
            target(
                com.tngtech.archunit.core.domain.properties.HasName.Predicates.name(
                    "printStackTrace")))
        .check(all);
  }

  @Test
  void driversAreFinal() {
    classes()
        .that()
        .implement(InstrumentDriver.class)
        .should()
        .haveModifier(com.tngtech.archunit.core.domain.JavaModifier.FINAL)
        .check(all);
  }

  @Test
  void noClassIsCalledAfterNothing() {
    noClasses()
        .that(resideInAPackage("meniscus.."))
        .should()
        .haveSimpleNameEndingWith("Manager")
        .orShould()
        .haveSimpleNameEndingWith("Util")
        .orShould()
        .haveSimpleNameEndingWith("Utils")
        .orShould()
        .haveSimpleNameEndingWith("Helper")
        .check(all);
  }

  @Test
  void everyPackageHasASignAtItsDoor() {
    List<Path> signless =
        Stream.of("../core", "../drivers", "../recorder")
            .map(module -> Path.of(module, "src", "main", "java"))
            .flatMap(ArchitectureTest::foldersWithClasses)
            .filter(folder -> !Files.exists(folder.resolve("package-info.java")))
            .toList();
    assertEquals(List.of(), signless);
  }

  /** A sign that points to a room that is not there is worse than none. */
  @Test
  void everySignNamesTypesThatAreThere() {
    Set<String> types =
        all.stream().map(JavaClass::getSimpleName).collect(Collectors.toUnmodifiableSet());
    List<String> lost =
        Stream.of("../core", "../drivers", "../recorder")
            .map(module -> Path.of(module, "src", "main", "java"))
            .flatMap(ArchitectureTest::foldersWithClasses)
            .map(folder -> folder.resolve("package-info.java"))
            .flatMap(
                sign ->
                    namedTypes(sign)
                        .filter(type -> !types.contains(type))
                        .map(type -> sign + ": " + type))
            .toList();
    assertEquals(List.of(), lost);
  }

  private static Stream<String> namedTypes(Path sign) {
    try {
      return NAMED_TYPE.matcher(Files.readString(sign)).results().map(found -> found.group(1));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /**
   * A remark, the source of an uncertainty, the detail of an event, a message are kinds with
   * numbers; their sentences are for people. Only the two codecs look into one.
   */
  @Test
  void nothingIsDecidedByTheWordsOfASentence() throws IOException {
    Pattern looksInto =
        Pattern.compile(
            "\\b(?:(?:remark|sentence|detail|reason|told|said)s?(?:\\(\\))?|(?:source|text)\\(\\))"
                + "\\s*\\.\\s*(?:contains|startsWith|endsWith|split|matches|indexOf)\\(");
    assertTrue(looksInto.matcher("c -> !c.source().startsWith(\"leaks\")").find());
    assertTrue(looksInto.matcher("event.detail()\n    .split(\":\", 2)").find());
    assertTrue(looksInto.matcher("remark.contains(\"outside\")").find());
    List<String> found = new ArrayList<>();
    for (String module : List.of("core", "drivers", "recorder")) {
      try (Stream<Path> files = Files.walk(Path.of("..", module, "src", "main", "java"))) {
        for (Path file : files.filter(each -> each.toString().endsWith(".java")).toList()) {
          boolean codec = CODECS.contains(file.getFileName().toString());
          Matcher matcher = looksInto.matcher(Files.readString(file, StandardCharsets.UTF_8));
          while (!codec && matcher.find()) {
            found.add(file + ": " + matcher.group());
          }
        }
      }
    }
    assertEquals(List.of(), found);
  }

  private static Stream<Path> foldersWithClasses(Path root) {
    try (Stream<Path> files = Files.walk(root)) {
      return files
          .filter(file -> file.toString().endsWith(".java"))
          .map(Path::getParent)
          .collect(Collectors.toSet())
          .stream();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
