import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Stream;

/**
 * Writes {@code classes.list} beside it: what commands load, for the archive of classes that makes
 * them start faster. Which classes have come when the page is ended is a matter of threads, so the
 * list is not made with each package; one that is old costs some of the speed, and nothing else.
 *
 * <p>After larger changes: {@code java -cp recorder/target/meniscus.jar
 * recorder/src/package/ListClasses.java recorder/target/meniscus.jar
 * recorder/src/package/classes.list}
 */
public final class ListClasses {

  /** Commands that load most of what any command needs: one that ends, and the page. */
  private static final List<List<String>> TYPICAL =
      List.of(
          List.of(
              "figure",
              "air",
              "--temperature",
              "20 degC",
              "--pressure",
              "1013 hPa",
              "--humidity",
              "50%",
              "--json"),
          List.of("page", "--at", "0", "--data", "."));

  private ListClasses() {}

  public static void main(String[] words) throws Exception {
    SortedSet<String> classes = new TreeSet<>();
    for (List<String> typical : TYPICAL) {
      classes.addAll(loaded(Path.of(words[0]).toAbsolutePath(), typical));
    }
    Files.write(Path.of(words[1]), classes);
  }

  private static List<String> loaded(Path jar, List<String> typical) throws Exception {
    Path empty = Files.createTempDirectory("empty");
    Path list = Files.createTempFile("classes", ".list");
    List<String> words = new ArrayList<>();
    words.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    words.addAll(List.of("-XX:DumpLoadedClassList=" + list, "-XX:+UseSerialGC"));
    words.addAll(List.of("-cp", jar.toString(), "meniscus.recorder.Main"));
    words.addAll(typical);
    Process process =
        new ProcessBuilder(words)
            .directory(empty.toFile())
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    // The first line is all that either has to say; the page has to be ended then.
    try (BufferedReader said =
        new BufferedReader(
            new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
      if (said.readLine() == null) {
        throw new IllegalStateException("it said nothing: " + String.join(" ", typical));
      }
      process.toHandle().destroy();
    }
    process.waitFor();
    try (Stream<String> lines = Files.lines(list)) {
      return lines.filter(line -> !line.startsWith("#")).toList();
    } finally {
      Files.delete(list);
    }
  }
}
