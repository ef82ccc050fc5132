package meniscus.recorder.plugin;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.OutputStream;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import java.util.jar.JarEntry;
import java.util.jar.JarOutputStream;
import java.util.stream.Stream;
import javax.tools.JavaCompiler;
import javax.tools.StandardJavaFileManager;
import javax.tools.ToolProvider;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.drivers.line.LineKind;

/** Compiles sources and packs them as a stranger's jar. */
final class JarMaker {

  /** Never comes back, heeds no interrupt, and costs the other tests nothing. */
  static final String HANG =
      "for (boolean ever = true; ever; )"
          + " java.util.concurrent.locks.LockSupport.parkNanos(1_000_000_000L);";

  private final Path work;
  private final Map<String, String> sources = new LinkedHashMap<>();
  private final Map<String, byte[]> files = new LinkedHashMap<>();
  private final List<String> drivers = new ArrayList<>();
  private Predicate<String> without = name -> false;

  JarMaker(Path temp) throws IOException {
    this.work = Files.createTempDirectory(temp, "jar");
  }

  /** A class in package {@code stranger}. */
  JarMaker source(String name, String body) {
    sources.put(
        name,
        "package stranger;\n"
            + "import java.util.*;\n"
            + "import java.nio.ByteBuffer;\n"
            + "import meniscus.core.instrument.*;\n"
            + "import meniscus.core.quantity.Unit;\n"
            + "import meniscus.core.time.Moment;\n"
            + "import meniscus.drivers.line.*;\n"
            + body);
    return this;
  }

  /**
   * A driver that reads a line of digits as Pa, but for what is changed.
   *
   * @param changes text in the source and what stands there instead, in turn
   */
  JarMaker driver(String name, String id, String... changes) {
    String body = DRIVER.replace("NAME", name).replace("ID", id);
    for (int i = 0; i < changes.length; i += 2) {
      assertTrue(body.contains(changes[i]), changes[i]);
      body = body.replace(changes[i], changes[i + 1]);
    }
    drivers.add("stranger." + name);
    return source(name, body);
  }

  JarMaker lineKind(String name) {
    return file("META-INF/services/" + LineKind.class.getName(), "stranger." + name);
  }

  /** A source file as it is. */
  JarMaker file(Path source) throws IOException {
    String name = source.getFileName().toString().replace(".java", "");
    sources.put(name, Files.readString(source, StandardCharsets.UTF_8));
    return this;
  }

  JarMaker file(String name, String text) {
    files.put(name, text.getBytes(StandardCharsets.UTF_8));
    return this;
  }

  /** Leaves compiled classes out. */
  JarMaker without(String className) {
    without = name -> name.endsWith(className + ".class");
    return this;
  }

  Path into(Path jar) throws IOException {
    Path classes = Files.createDirectories(work.resolve("classes"));
    compile(classes);
    if (!drivers.isEmpty()) {
      file("META-INF/services/" + InstrumentDriver.class.getName(), String.join("\n", drivers));
    }
    try (OutputStream out = Files.newOutputStream(jar);
        JarOutputStream entries = new JarOutputStream(out);
        Stream<Path> walk = Files.walk(classes)) {
      for (Path file : walk.filter(Files::isRegularFile).toList()) {
        String name = classes.relativize(file).toString().replace('\\', '/');
        if (!without.test(name)) {
          files.put(name, Files.readAllBytes(file));
        }
      }
      for (Map.Entry<String, byte[]> file : files.entrySet()) {
        entries.putNextEntry(new JarEntry(file.getKey()));
        entries.write(file.getValue());
        entries.closeEntry();
      }
    }
    return jar;
  }

  private void compile(Path classes) throws IOException {
    List<Path> written = new ArrayList<>();
    for (Map.Entry<String, String> source : sources.entrySet()) {
      Path file = work.resolve(source.getKey() + ".java");
      written.add(Files.writeString(file, source.getValue(), StandardCharsets.UTF_8));
    }
    JavaCompiler compiler = ToolProvider.getSystemJavaCompiler();
    StringWriter said = new StringWriter();
    try (StandardJavaFileManager manager = compiler.getStandardFileManager(null, null, null)) {
      boolean fine =
          sources.isEmpty()
              || compiler
                  .getTask(
                      said,
                      manager,
                      null,
                      List.of(
                          "-d",
                          classes.toString(),
                          "-proc:none",
                          "-classpath",
                          System.getProperty("java.class.path")),
                      null,
                      manager.getJavaFileObjectsFromPaths(written))
                  .call();
      assertTrue(fine, said::toString);
    }
  }

  private static final String DRIVER =
      """
      public final class NAME implements InstrumentDriver {
        public NAME() { /*constructor*/ }
        public String id() { return "ID"; }
        public String summary() { return "a stranger's gauge"; }
        public int apiVersion() { return API_VERSION; }
        public List<Channel> channels(InstrumentSheet sheet) {
          sheet.settings().done();
          return List.of(new Channel("pressure", Unit.named("Pa")));
        }
        public Decoder newDecoder(InstrumentSheet sheet) {
          channels(sheet);
          return new Decoder() {
            private double value;
            public Next opened(Moment at) { return Next.NOTHING; }
            public Next bytes(Moment at, ByteBuffer buffer, Sink sink) {
              while (buffer.hasRemaining()) {
                byte b = buffer.get();
                if (b >= '0' && b <= '9') { value = 10 * value + b - '0'; continue; }
                /*line*/
                sink.reading(0, value, at);
                sink.frame(at);
                value = 0;
              }
              return Next.NOTHING;
            }
            public void lost(Moment at) { value = 0; }
          };
        }
      }
      """;
}
