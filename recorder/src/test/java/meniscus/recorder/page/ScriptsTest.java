package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.javascript.jscomp.CheckLevel;
import com.google.javascript.jscomp.CommandLineRunner;
import com.google.javascript.jscomp.Compiler;
import com.google.javascript.jscomp.CompilerOptions;
import com.google.javascript.jscomp.DiagnosticGroup;
import com.google.javascript.jscomp.DiagnosticGroups;
import com.google.javascript.jscomp.SourceFile;
import com.google.javascript.jscomp.deps.ModuleLoader.ResolutionMode;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * The page's scripts, read by a compiler that is no browser: what it says of syntax, modules, names
 * that are nowhere declared and code that nothing reaches is an error here.
 */
@Tag("long")
class ScriptsTest {

  private static final Path PAGE = Path.of("src/main/resources/meniscus/recorder/page");

  private static final List<DiagnosticGroup> MINDED =
      List.of(
          DiagnosticGroups.CHECK_VARIABLES,
          DiagnosticGroups.UNDEFINED_VARIABLES,
          DiagnosticGroups.CHECK_USELESS_CODE,
          DiagnosticGroups.CONST,
          DiagnosticGroups.MODULE_LOAD,
          DiagnosticGroups.SUSPICIOUS_CODE);

  /** What a browser has as members of its window, and the compiler knows there alone. */
  private static final String OF_THE_WINDOW =
      "var localStorage; var sessionStorage; var matchMedia; var addEventListener;";

  @Test
  void everyScriptIsWithoutAFault() throws IOException {
    try (Stream<Path> files = Files.list(PAGE)) {
      List<SourceFile> scripts =
          files
              .filter(file -> file.toString().endsWith(".js"))
              .sorted()
              .map(ScriptsTest::source)
              .collect(Collectors.toCollection(ArrayList::new));
      scripts.add(SourceFile.fromCode("/uplot.js", "export default class {}")); // not ours to mend
      assertTrue(scripts.size() > 20, "the page's scripts are read");
      assertEquals(List.of(), faults(scripts));
    }
  }

  @Test
  void aNameThatIsNowhereDeclaredIsAFault() {
    assertEquals(
        1, faults(List.of(SourceFile.fromCode("/a.js", "export const a = nowhere;"))).size());
    assertEquals(
        1, faults(List.of(SourceFile.fromCode("/a.js", "import {b} from './b.js';\nb();"))).size());
    assertEquals(1, faults(List.of(SourceFile.fromCode("/a.js", "export const = 1;"))).size());
  }

  private static SourceFile source(Path file) {
    return SourceFile.builder().withPath("/" + file.getFileName()).withContent(text(file)).build();
  }

  private static String text(Path file) {
    try {
      return Files.readString(file, StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static List<String> faults(List<SourceFile> scripts) {
    Compiler compiler =
        new Compiler(
            new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8));
    CompilerOptions options = new CompilerOptions();
    options.setLanguageIn(CompilerOptions.LanguageMode.UNSTABLE);
    options.setModuleResolutionMode(ResolutionMode.BROWSER);
    options.setChecksOnly(true);
    options.setAllowDynamicImport(true);
    options.setCheckSymbols(true);
    MINDED.forEach(group -> options.setWarningLevel(group, CheckLevel.ERROR));
    try {
      List<SourceFile> known =
          new ArrayList<>(CommandLineRunner.getBuiltinExterns(CompilerOptions.Environment.BROWSER));
      known.add(SourceFile.fromCode("of-the-window.js", OF_THE_WINDOW));
      compiler.compile(known, scripts, options);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return compiler.getErrors().stream().map(Object::toString).toList();
  }
}
