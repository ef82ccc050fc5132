package meniscus.recorder.power;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;

/**
 * A machine with a kernel of its own that mounts a {@link LoggedDisk} and takes a test on it with
 * the packaged program: what the program prints goes to the console.
 *
 * <p>The logged disk is a virtio one, which knows flushes alone. QEMU 7.2's NVMe tells the kernel
 * that it can force single writes and then does not pass that on: with it, told points are lost.
 *
 * @param kernel its image
 * @param root file system with the program, read only
 */
record Guest(Path kernel, Path root) {

  /**
   * On a host that has other work a machine's clock and disk are late: the kernel is not to take
   * that for a fault.
   */
  private static final String KERNEL =
      "console=ttyS0 quiet panic=-1 mitigations=off no_timer_check nowatchdog"
          + " rcupdate.rcu_cpu_stall_suppress=1 nvme_core.io_timeout=600"
          + " nvme_core.admin_timeout=600 root=/dev/nvme0n1 ro rootwait rootfstype=ext4 init=/init";

  /** What the kernel needs for the disk, each after those that it needs itself. */
  private static final List<String> MODULES =
      List.of(
          "virtio/virtio_ring",
          "virtio/virtio",
          "virtio/virtio_pci_modern_dev",
          "virtio/virtio_pci_legacy_dev",
          "virtio/virtio_pci",
          "block/virtio_blk");

  private static final Pattern LIBRARY = Pattern.compile("(/\\S+) \\(0x");

  /**
   * @param kernel image of a kernel that has ext4, NVMe and a serial console built in; its modules
   *     lie in {@code ../lib/modules}
   * @param archive the packaged program, {@code .tar.gz}
   * @param place a folder to work in
   */
  static Guest make(Path kernel, Path archive, Path place) throws Exception {
    // The archive of classes holds the place of the program, so it lies there in the guest too.
    Path program = Files.createDirectories(place.resolve("program"));
    Tools.run(Tools.find("tar"), "-xzf", archive.toString(), "-C", program.toString()).orThrow();
    Path meniscus = program.resolve("meniscus");
    Tools.run(meniscus.resolve("bin").resolve("meniscus-faster-start").toString()).orThrow();

    Path tree = place.resolve("tree");
    for (String folder : List.of("proc", "dev", "run", "data", "bin", "modules")) {
      Files.createDirectories(tree.resolve(folder));
    }
    Files.copy(Path.of(Tools.find("busybox")), tree.resolve("bin/busybox"));
    for (String name :
        List.of("sh", "mount", "umount", "sleep", "readlink", "reboot", "cut", "insmod")) {
      Files.createSymbolicLink(tree.resolve("bin").resolve(name), Path.of("busybox"));
    }
    String version = kernel.getFileName().toString().replace("vmlinuz-", "");
    Path drivers = kernel.resolveSibling("../lib/modules/" + version + "/kernel/drivers");
    for (String module : MODULES) {
      Path from = drivers.resolve(module + ".ko").normalize();
      Files.copy(from, tree.resolve("modules").resolve(from.getFileName()));
    }
    for (Path library : libraries(meniscus.resolve("lib").resolve("runtime"))) {
      Path copy = tree.resolve(Path.of("/").relativize(library));
      Files.createDirectories(copy.getParent());
      Files.copy(library, copy);
    }
    Path there = tree.resolve(Path.of("/").relativize(program));
    Files.createDirectories(there.getParent());
    Tools.run(Tools.find("cp"), "-a", program.toString(), there.toString()).orThrow();
    Path init = tree.resolve("init");
    Files.writeString(init, init(meniscus.resolve("bin").resolve("meniscus")));
    Files.setPosixFilePermissions(init, PosixFilePermissions.fromString("rwxr-xr-x"));

    Path root = place.resolve("root.img");
    Tools.fileSystem(root, tree, "320M");
    return new Guest(kernel, root);
  }

  /** Libraries of the system that a Java needs. */
  private static List<Path> libraries(Path runtime) throws Exception {
    List<Path> all = new ArrayList<>();
    try (Stream<Path> files = Files.walk(runtime)) {
      for (Path each :
          files.filter(f -> f.endsWith("bin/java") || f.toString().endsWith(".so")).toList()) {
        Matcher library = LIBRARY.matcher(Tools.run(Tools.find("ldd"), each.toString()).said());
        while (library.find()) {
          Path path = Path.of(library.group(1));
          if (!path.startsWith(runtime) && !all.contains(path)) {
            all.add(path);
          }
        }
      }
    }
    all.sort(Comparator.naturalOrder());
    return all;
  }

  /** Every wait in it has an end. The kernel hands "job" and "mode" on from its command line. */
  private static String init(Path meniscus) {
    return """
        #!/bin/sh
        mount -t proc proc /proc
        mount -t devtmpfs dev /dev
        mount -t tmpfs run /run
        exec </dev/ttyS0 >/dev/ttyS0 2>&1
        echo "guest: up $(cut -d' ' -f1 /proc/uptime)"
        for module in MODULES; do insmod /modules/$module.ko; done
        n=0
        while [ ! -b /dev/vda ] && [ $n -lt 60 ]; do sleep 1; n=$((n + 1)); done
        mount -t ext4 -o data=$mode /dev/vda /data || { echo "guest: no disk"; reboot -f; }
        echo "guest: mounted $(cut -d' ' -f1 /proc/uptime)"
        export HOME=/run JDK_JAVA_OPTIONS="-XX:TieredStopAtLevel=1 -Djava.io.tmpdir=/run"
        more=
        [ "$job" = resume ] && more=--resume
        cd /run
        MENISCUS record --bench /data/bench.json --plan /data/plan.json --out /data/test \\
          --hands-free --quick --json $more
        echo "guest: ended with $? at $(cut -d' ' -f1 /proc/uptime)"
        umount /data
        echo "guest: done"
        reboot -f
        """
        .replace("MODULES", String.join(" ", MODULES).replaceAll("\\w+/", ""))
        .replace("MENISCUS", meniscus.toString());
  }

  /**
   * Switches it on.
   *
   * @param job {@code record} or {@code resume}
   * @param mode {@code ordered} or {@code writeback}, of ext4's data
   */
  Running boot(LoggedDisk disk, String job, String mode) throws IOException {
    Process process =
        new ProcessBuilder(
                Tools.find("qemu-system-x86_64"),
                "-accel",
                "tcg",
                "-cpu",
                "qemu64,+rdrand",
                "-m",
                "640",
                "-nodefaults",
                "-no-reboot",
                "-display",
                "none",
                "-serial",
                "stdio",
                "-kernel",
                kernel.toString(),
                "-append",
                KERNEL + " job=" + job + " mode=" + mode,
                "-drive",
                "file=" + root + ",format=raw,if=none,id=root,readonly=on",
                "-drive",
                "file=nbd:unix:" + disk.socket() + ",format=raw,cache=writeback,if=none,id=data",
                "-device",
                "nvme,drive=root,serial=1",
                "-device",
                "virtio-blk-pci,drive=data")
            .redirectErrorStream(true)
            .start();
    Thread console = new Thread(() -> listen(process, disk), "console");
    console.setDaemon(true);
    console.start();
    return new Running(process, console);
  }

  private static void listen(Process process, LoggedDisk disk) {
    try (BufferedReader lines =
        new BufferedReader(
            new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
      String line;
      while ((line = lines.readLine()) != null) {
        if (!line.isBlank()) {
          disk.line(line);
          System.err.println(line);
        }
      }
    } catch (IOException e) {
      disk.line("console: " + e);
    }
  }

  /** A machine that is on. */
  record Running(Process process, Thread console) implements AutoCloseable {

    /** The power goes. What was not yet read of the console was seen by nobody. */
    void kill() throws InterruptedException {
      process.destroyForcibly().waitFor();
      console.join(60_000);
    }

    void awaitEnd(long minutes) throws InterruptedException {
      if (!process.waitFor(minutes, java.util.concurrent.TimeUnit.MINUTES)) {
        throw new AssertionError("waited for the machine to end");
      }
      console.join(60_000);
    }

    @Override
    public void close() {
      process.destroyForcibly();
    }
  }
}
