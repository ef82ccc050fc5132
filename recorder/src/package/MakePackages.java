import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.MessageDigest;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Properties;
import java.util.Set;
import java.util.spi.ToolProvider;
import java.util.stream.Stream;
import java.util.zip.GZIPOutputStream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import meniscus.recorder.cli.ManPages;

/**
 * Makes what this system can be given to install the program without a JDK: an image of the program
 * with a Java of its own, and of it a {@code .tar.gz} and a {@code .deb} on Linux, a {@code .dmg} on
 * macOS, an {@code .msi} on Windows. Those of macOS and Windows are written for, not tested.
 *
 * <p>{@code mvn -Ppackage package} runs it as {@code java -cp meniscus.jar MakePackages.java
 * MENISCUS.JAR VERSION DOCS BILL CLASSES TIME OUT PLUGIN}, with the jar's bill of materials, the list
 * that {@code ListClasses} wrote, the time that all files are to bear, and the plugin's jar that lies
 * beside the program, with its own bill beside it. The same of all these and of the JDK give the same
 * packages to the byte, but for what jlink makes. One word more, {@code archive}, leaves out the
 * {@code .deb}, whose compression takes longest.
 */
public final class MakePackages {

  /**
   * What the program uses of Java; java.sql for Jackson and a Parquet library, the others for the
   * page, clock of the system, encryption of a TCP line, zip files, the serial library.
   */
  private static final String MODULES =
      "java.base,java.logging,java.management,java.naming,java.sql,java.xml,jdk.crypto.ec,"
          + "jdk.httpserver,jdk.net,jdk.unsupported,jdk.zipfs";

  /** Quick to start, small; a warning about the class archive must not come among the data. */
  private static final List<String> JAVA_OPTIONS =
      List.of("-XX:+UseSerialGC", "-XX:-UsePerfData", "-Xlog:disable", "-Xlog:all=error:stderr");

  /** Where a script finds the program that it lies in, whichever link it was called by. */
  private static final String BESIDE = "$(readlink -f \"$0\"); lib=\"${lib%/bin/*}/lib\"";

  private final Path jar;
  private final String version;
  private final Path docs;
  private final Path bill;
  private final Path classes;
  private final Instant time;
  private final Path out;
  private final Path plugin;
  private final boolean archiveOnly;
  private final Path runtime;

  private MakePackages(List<String> words) {
    this.jar = Path.of(words.get(0));
    this.version = words.get(1);
    this.docs = Path.of(words.get(2));
    this.bill = Path.of(words.get(3));
    this.classes = Path.of(words.get(4));
    this.time = Instant.parse(words.get(5));
    this.out = Path.of(words.get(6));
    this.plugin = Path.of(words.get(7));
    this.archiveOnly = words.size() > 8 && words.get(8).equals("archive");
    this.runtime = out.resolve("runtime");
  }

  public static void main(String[] words) throws Exception {
    new MakePackages(List.of(words)).make();
  }

  private void make() throws Exception {
    emptied(out);
    javaOfItsOwn();
    String system = System.getProperty("os.name").toLowerCase(Locale.ROOT);
    if (system.startsWith("windows")) {
      image(List.of("--win-console"));
      installer("msi", List.of("--win-menu", "--win-per-user-install", "--win-dir-chooser"));
    } else if (system.startsWith("mac")) {
      image(List.of());
      installer("dmg", List.of());
    } else {
      linux();
    }
    try (Stream<Path> made = Files.list(out)) {
      for (Path each : made.filter(Files::isRegularFile).sorted().toList()) {
        System.out.printf(Locale.ROOT, "%s: %.1f MB%n", each, Files.size(each) / 1e6);
      }
    }
  }

  private void javaOfItsOwn() throws Exception {
    tool(
        "jlink",
        "--add-modules",
        MODULES,
        "--strip-debug",
        "--no-header-files",
        "--no-man-pages",
        "--output",
        runtime.toString());
    // Its archive of Java's own classes is left out: it is not always the same to the byte, and
    // the one that is made where the program is installed holds those classes too.
  }

  private void image(List<String> more) throws Exception {
    Path input = Files.createDirectories(out.resolve("input"));
    Files.copy(jar, input.resolve("meniscus.jar"));
    besides(input.resolve("plugins"));
    List<String> words =
        new ArrayList<>(
            List.of(
                "--type",
                "app-image",
                "--name",
                "meniscus",
                "--app-version",
                version.replaceAll("[^0-9.].*", ""),
                "--input",
                input.toString(),
                "--main-jar",
                "meniscus.jar",
                "--runtime-image",
                runtime.toString(),
                "--dest",
                out.resolve("image").toString()));
    JAVA_OPTIONS.forEach(option -> words.addAll(List.of("--java-options", option)));
    words.addAll(more);
    tool("jpackage", words.toArray(String[]::new));
    remove(input);
    remove(runtime);
  }

  /** By the system's own packager; written for, not tested. */
  private void installer(String type, List<String> more) {
    List<String> words =
        new ArrayList<>(
            List.of(
                "--type",
                type,
                "--name",
                "meniscus",
                "--app-version",
                version.replaceAll("[^0-9.].*", ""),
                "--app-image",
                out.resolve("image").resolve("meniscus").toString(),
                "--dest",
                out.toString()));
    words.addAll(more);
    tool("jpackage", words.toArray(String[]::new));
  }

  // ------------------------------------------------------------------ Linux

  private void linux() throws Exception {
    Path image = Files.createDirectories(out.resolve("image").resolve("meniscus"));
    Path app = Files.createDirectories(image.resolve("lib").resolve("app"));
    Files.move(runtime, image.resolve("lib").resolve("runtime"));
    Files.copy(jar, app.resolve("meniscus.jar"));
    Files.copy(classes, app.resolve("classes.list"));
    besides(image.resolve("lib").resolve("plugins"));
    write(image.resolve("bin").resolve("meniscus"), launcher(BESIDE), true);
    Path share = Files.createDirectories(image.resolve("share"));
    fillShare(share);
    Path doc = share.resolve("doc").resolve("meniscus");
    billOfMaterials(image, doc.resolve("meniscus-sbom.json"));
    Path pluginBill = plugin.resolveSibling("meniscus-sbom.json");
    ObjectNode beside = billed(pluginBill);
    ArrayNode ofPlugin = (ArrayNode) beside.get("components");
    ofPlugin.insert(0, beside.get("metadata").get("component"));
    everythingIsIn(pluginBill, ofPlugin, plugin);
    Files.copy(pluginBill, doc.resolve("meniscus-mqtt-sbom.json"));
    write(image.resolve("bin").resolve("meniscus-faster-start"), fasterStart(), true);
    run(
        out.resolve("image"),
        "tar",
        "--sort=name",
        "--format=gnu",
        "--mtime=" + time,
        "--mode=u+rw,go+r,go-w,a+X",
        "--owner=0",
        "--group=0",
        "--numeric-owner",
        "-I",
        "gzip -n",
        "-cf",
        out.resolve("meniscus-" + version + "-linux-" + arch() + ".tar.gz").toString(),
        "meniscus");
    if (archiveOnly) {
      remove(out.resolve("image"));
    } else if (Files.isExecutable(Path.of("/usr/bin/dpkg-deb"))) {
      deb(image, share);
    } else {
      System.out.println("no dpkg-deb here: no .deb is made");
    }
  }

  /** Where nothing runs it before its owner names the folder and agrees to it. */
  private void besides(Path folder) throws IOException {
    Files.copy(plugin, Files.createDirectories(folder).resolve(plugin.getFileName()));
  }

  private static ObjectNode billed(Path bill) throws IOException {
    if (!Files.exists(bill)) {
      throw new IllegalStateException(
          bill + " is not there: Maven leaves it out when it is told to work offline (-o)");
    }
    return (ObjectNode) new ObjectMapper().readTree(bill.toFile());
  }

  /**
   * What is in the package: all that is in the program, and the Java beside it, with the hashes of
   * the two files that hold them.
   *
   * @throws IllegalStateException when a library in the jar is not in the jar's own bill
   */
  private void billOfMaterials(Path image, Path file) throws Exception {
    ObjectMapper json = new ObjectMapper();
    ObjectNode all = billed(bill);
    ArrayNode parts = (ArrayNode) all.get("components");
    ObjectNode about = (ObjectNode) all.get("metadata");
    String program = about.get("component").get("bom-ref").asText();
    parts.insert(0, about.get("component"));
    everythingIsIn(bill, parts, jar);

    String java = System.getProperty("java.runtime.version");
    ObjectNode platform = parts.addObject();
    named(platform, "platform", "openjdk", java.replace("+", "%2B"), java);
    platform.put("publisher", System.getProperty("java.vendor"));
    platform
        .putArray("licenses")
        .addObject()
        .put("expression", "GPL-2.0-only WITH Classpath-exception-2.0");
    for (String module : MODULES.split(",")) {
      platform
          .withArray("components")
          .addObject()
          .put("type", "library")
          .put("bom-ref", "openjdk/" + module)
          .put("name", module)
          .put("version", java);
    }
    for (String each : List.of("lib/app/meniscus.jar", "lib/runtime/lib/modules")) {
      byte[] hash =
          MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(image.resolve(each)));
      ObjectNode part = parts.addObject().put("type", "file").put("bom-ref", each);
      part.put("name", each)
          .putArray("hashes")
          .addObject()
          .put("alg", "SHA-256")
          .put("content", HexFormat.of().formatHex(hash));
    }
    named(about.putObject("component"), "application", "meniscus", version, version);
    ObjectNode needs = ((ArrayNode) all.get("dependencies")).addObject();
    needs.set("ref", about.get("component").get("bom-ref"));
    needs.putArray("dependsOn").add(program).add(platform.get("bom-ref"));
    Files.writeString(file, json.writerWithDefaultPrettyPrinter().writeValueAsString(all) + "\n");
  }

  private static void named(
      ObjectNode part, String type, String name, String inAddress, String version) {
    String address = "pkg:generic/" + name + "@" + inAddress;
    part.put("type", type).put("bom-ref", address).put("name", name);
    part.put("version", version).put("purl", address);
  }

  private static void everythingIsIn(Path bill, ArrayNode parts, Path jar) throws IOException {
    Set<String> listed = new HashSet<>();
    for (JsonNode part : parts) {
      listed.add(
          part.path("group").asText()
              + ":"
              + part.path("name").asText()
              + ":"
              + part.path("version").asText());
    }
    try (ZipFile zip = new ZipFile(jar.toFile())) {
      for (ZipEntry entry : zip.stream().toList()) {
        if (entry.getName().matches("META-INF/maven/.*/pom\\.properties")) {
          Properties of = new Properties();
          of.load(zip.getInputStream(entry));
          String library =
              of.getProperty("groupId")
                  + ":"
                  + of.getProperty("artifactId")
                  + ":"
                  + of.getProperty("version");
          if (!listed.contains(library)) {
            throw new IllegalStateException(bill + " does not list " + library + ", in " + jar);
          }
        }
      }
    }
  }

  /** Laid out as below /usr/share, so that the archive can be copied there and the .deb is. */
  private void fillShare(Path share) throws IOException {
    for (Map.Entry<String, String> page : ManPages.all().entrySet()) {
      Path file = share.resolve("man").resolve("man1").resolve(page.getKey() + ".gz");
      Files.createDirectories(file.getParent());
      try (OutputStream zipped = new GZIPOutputStream(Files.newOutputStream(file))) {
        zipped.write(page.getValue().getBytes(StandardCharsets.UTF_8));
      }
    }
    write(
        share.resolve("bash-completion").resolve("completions").resolve("meniscus"),
        ManPages.completion(),
        false);
    write(
        share.resolve("applications").resolve("meniscus.desktop"),
        """
        [Desktop Entry]
        Type=Application
        Name=Meniscus
        GenericName=Flow bench logger
        Comment=Lift tests, calibration and reports of a flow bench
        Exec=sh -c 'mkdir -p "$HOME/Meniscus" && exec meniscus page --open --data "$HOME/Meniscus"'
        Icon=meniscus
        Terminal=true
        Categories=Science;Engineering;
        """,
        false);
    Path icon =
        share
            .resolve("icons")
            .resolve("hicolor")
            .resolve("scalable")
            .resolve("apps")
            .resolve("meniscus.svg");
    Files.createDirectories(icon.getParent());
    try (InputStream mark =
        MakePackages.class.getResourceAsStream("/meniscus/recorder/page/mark.svg")) {
      Files.copy(mark, icon);
    }
    Path doc = share.resolve("doc").resolve("meniscus");
    try (Stream<Path> all = Files.walk(docs)) {
      for (Path file : all.filter(Files::isRegularFile).toList()) {
        Path place = doc.resolve(docs.relativize(file).toString());
        // The pictures are the README's, which is not among them.
        if (!file.getParent().endsWith("images") && !file.endsWith("LICENSE")) {
          Files.createDirectories(place.getParent());
          Files.copy(file, place);
        }
      }
    }
    Files.copy(docs.resolve("LICENSE"), doc.resolve("copyright"));
  }

  /**
   * Of our own: jpackage's asks dpkg and rpm at every start which package it belongs to, which takes
   * longer than all else that a command does.
   */
  private static String launcher(String lib) {
    return """
        #!/bin/sh
        lib=PLACE
        if [ -r "$lib/app/meniscus.jsa" ]; then
          exec "$lib/runtime/bin/java" "-XX:SharedArchiveFile=$lib/app/meniscus.jsa" OPTIONS \\
            -jar "$lib/app/meniscus.jar" "$@"
        fi
        exec "$lib/runtime/bin/java" OPTIONS -jar "$lib/app/meniscus.jar" "$@"
        """
        .replace("PLACE", lib)
        .replace("OPTIONS", String.join(" ", JAVA_OPTIONS));
  }

  /**
   * The archive holds the place of the program's jar, so it is made where the program is installed.
   * A whole one, with Java's classes too: one on top of Java's own leaves out the classes of the
   * library that reads the command line, which are in an old form.
   */
  private static String fasterStart() {
    return """
        #!/bin/sh
        # Makes the commands of Meniscus start faster, here where it is installed: writes the
        # classes that they need to an archive beside the program. Can be run again at any time.
        set -e
        lib=PLACE
        rm -f "$lib/app/meniscus.jsa"
        "$lib/runtime/bin/java" -Xshare:dump "-XX:SharedClassListFile=$lib/app/classes.list" \\
          "-XX:SharedArchiveFile=$lib/app/meniscus.jsa" -cp "$lib/app/meniscus.jar" >/dev/null 2>&1
        """
        .replace("PLACE", BESIDE);
  }

  private void deb(Path image, Path share) throws Exception {
    Path root = out.resolve("deb");
    Path program = root.resolve("usr").resolve("lib").resolve("meniscus");
    Files.createDirectories(program.getParent());
    Files.move(image, program);
    Files.move(program.resolve("share"), root.resolve("usr").resolve("share"));
    write(
        root.resolve("usr").resolve("bin").resolve("meniscus"),
        launcher("/usr/lib/meniscus/lib"),
        true);
    long kilobytes;
    try (Stream<Path> files = Files.walk(root)) {
      kilobytes =
          files.filter(Files::isRegularFile).mapToLong(file -> file.toFile().length()).sum() / 1024;
    }
    Path about = root.resolve("DEBIAN");
    write(
        about.resolve("control"),
        """
        Package: meniscus
        Version: VERSION
        Architecture: ARCH
        Maintainer: The Meniscus project <meniscus@localhost>
        Installed-Size: SIZE
        Depends: libc6, libgcc-s1, libstdc++6, zlib1g
        Recommends: xdg-utils
        Section: science
        Priority: optional
        Description: flow bench logger for cylinder head ports
         Reads manometers, indicators and air sensors on a flow bench, averages
         readings that never sit still into one flow per valve lift with an honest
         interval, calibrates the bench on orifice plates and compares before with
         after. Brings a Java of its own.
        """
            .replace("VERSION", version.replace('-', '~'))
            .replace("ARCH", said("dpkg", "--print-architecture"))
            .replace("SIZE", Long.toString(kilobytes)),
        false);
    write(
        about.resolve("postinst"),
        """
        #!/bin/sh
        # Without the archive the program starts slower, and is whole all the same.
        [ "$1" != configure ] || /usr/lib/meniscus/bin/meniscus-faster-start || true
        """,
        true);
    write(
        about.resolve("prerm"),
        """
        #!/bin/sh
        rm -f /usr/lib/meniscus/lib/app/meniscus.jsa
        """,
        true);
    run(
        out,
        "dpkg-deb",
        "--root-owner-group",
        "-Zxz",
        "--build",
        root.toString(),
        out.resolve("meniscus_" + version + "_" + arch() + ".deb").toString());
    remove(root);
    remove(out.resolve("image"));
  }

  private static String arch() {
    String arch = System.getProperty("os.arch");
    return arch.equals("aarch64") ? "arm64" : arch;
  }

  // ------------------------------------------------------------------ tools

  private static void tool(String name, String... words) {
    PrintStream said = System.out;
    ToolProvider tool =
        ToolProvider.findFirst(name)
            .orElseThrow(() -> new IllegalStateException("this Java has no " + name));
    if (tool.run(said, System.err, words) != 0) {
      throw new IllegalStateException(name + " failed: " + String.join(" ", words));
    }
  }

  private void run(Path in, String... words) throws Exception {
    ProcessBuilder builder =
        new ProcessBuilder(words)
            .directory(in.toFile())
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .redirectError(ProcessBuilder.Redirect.INHERIT);
    // Files of a package bear no later time than this.
    builder.environment().put("SOURCE_DATE_EPOCH", Long.toString(time.getEpochSecond()));
    if (builder.start().waitFor() != 0) {
      throw new IllegalStateException(String.join(" ", words) + " failed");
    }
  }

  private static String said(String... words) throws Exception {
    Process process = new ProcessBuilder(words).start();
    try (InputStream in = process.getInputStream()) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8).strip();
    }
  }

  private static void write(Path file, String text, boolean executable) throws IOException {
    Files.createDirectories(file.getParent());
    Files.writeString(file, text);
    if (executable) {
      Files.setPosixFilePermissions(file, PosixFilePermissions.fromString("rwxr-xr-x"));
    }
  }

  private static void emptied(Path folder) throws IOException {
    remove(folder);
    Files.createDirectories(folder);
  }

  private static void remove(Path folder) throws IOException {
    if (Files.exists(folder)) {
      try (Stream<Path> all = Files.walk(folder)) {
        for (Path each : all.sorted((a, b) -> b.compareTo(a)).toList()) {
          each.toFile().setWritable(true);
          Files.delete(each);
        }
      }
    }
  }
}
