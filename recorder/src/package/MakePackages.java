import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.spi.ToolProvider;
import java.util.stream.Stream;
import java.util.zip.GZIPOutputStream;
import meniscus.recorder.cli.ManPages;

/**
 * Makes what this system can be given to install the program without a JDK: an application image
 * with a Java of its own, and of it a {@code .tar.gz} and a {@code .deb} on Linux, a {@code .dmg}
 * on macOS, an {@code .msi} on Windows. Those of macOS and Windows are written for, not tested.
 *
 * <p>{@code mvn -Ppackage package} runs it as {@code java -cp meniscus.jar MakePackages.java
 * MENISCUS.JAR VERSION DOCS OUT}.
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
      List.of("-XX:+UseSerialGC", "-Xlog:disable", "-Xlog:all=error:stderr");

  /** A command that loads most of what any command needs. */
  private static final String TYPICAL =
      "figure air --temperature '20 degC' --pressure '1013 hPa' --humidity 50% --json";

  private final Path jar;
  private final String version;
  private final Path docs;
  private final Path out;
  private final Path runtime;

  private MakePackages(Path jar, String version, Path docs, Path out) {
    this.jar = jar;
    this.version = version;
    this.docs = docs;
    this.out = out;
    this.runtime = out.resolve("runtime");
  }

  public static void main(String[] words) throws Exception {
    new MakePackages(Path.of(words[0]), words[1], Path.of(words[2]), Path.of(words[3])).make();
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
      image(List.of());
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
    // An image has no class-data archive of Java's own classes until it is told to make one.
    run(out, runtime.resolve("bin").resolve("java").toString(), "-Xshare:dump");
  }

  private void image(List<String> more) throws Exception {
    Path input = Files.createDirectories(out.resolve("input"));
    Files.copy(jar, input.resolve("meniscus.jar"));
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
    Path image = out.resolve("image").resolve("meniscus");
    Path share = Files.createDirectories(image.resolve("share"));
    fillShare(share);
    write(image.resolve("bin").resolve("meniscus-faster-start"), fasterStart(), true);
    run(
        out.resolve("image"),
        "tar",
        "--sort=name",
        "--owner=0",
        "--group=0",
        "--numeric-owner",
        "-czf",
        out.resolve("meniscus-" + version + "-linux-" + arch() + ".tar.gz").toString(),
        "meniscus");
    if (Files.isExecutable(Path.of("/usr/bin/dpkg-deb"))) {
      deb(image, share);
    } else {
      System.out.println("no dpkg-deb here: no .deb is made");
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
    Path doc = Files.createDirectories(share.resolve("doc").resolve("meniscus"));
    try (Stream<Path> pages = Files.list(docs)) {
      for (Path page : pages.filter(each -> each.toString().endsWith(".md")).toList()) {
        Files.copy(page, doc.resolve(page.getFileName()));
      }
    }
    Files.copy(docs.resolve("LICENSE"), doc.resolve("copyright"));
  }

  /**
   * The archive of the program's own classes holds the place of the jar, so it is made where the
   * program is installed.
   */
  private static String fasterStart() {
    return """
        #!/bin/sh
        # Makes the commands of Meniscus start faster, here where it is installed: writes the
        # classes that they need to an archive beside the program. Can be run again at any time.
        set -e
        here=$(dirname "$(dirname "$(readlink -f "$0")")")
        app="$here/lib/app"
        archive="$app/meniscus.jsa"
        rm -f "$archive"
        "$here/lib/runtime/bin/java" -XX:ArchiveClassesAtExit="$archive" OPTIONS \\
          -jar "$app/meniscus.jar" TYPICAL >/dev/null 2>&1
        grep -q SharedArchiveFile "$app/meniscus.cfg" ||
          echo 'java-options=-XX:SharedArchiveFile=$APPDIR/meniscus.jsa' >>"$app/meniscus.cfg"
        """
        .replace("OPTIONS", String.join(" ", JAVA_OPTIONS))
        .replace("TYPICAL", TYPICAL);
  }

  private void deb(Path image, Path share) throws Exception {
    Path root = out.resolve("deb");
    Path program = root.resolve("usr").resolve("lib").resolve("meniscus");
    Files.createDirectories(program.getParent());
    Files.move(image, program);
    Files.move(program.resolve("share"), root.resolve("usr").resolve("share"));
    Path bin = Files.createDirectories(root.resolve("usr").resolve("bin"));
    Files.createSymbolicLink(bin.resolve("meniscus"), Path.of("../lib/meniscus/bin/meniscus"));
    // Its options stand in a file of the package, which nothing changes afterwards.
    Path options = program.resolve("lib").resolve("app").resolve("meniscus.cfg");
    Files.writeString(
        options,
        Files.readString(options)
            + "java-options=-XX:SharedArchiveFile=$APPDIR/meniscus.jsa\n");
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

  private static void run(Path in, String... words) throws Exception {
    Process process =
        new ProcessBuilder(words)
            .directory(in.toFile())
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    if (process.waitFor() != 0) {
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
