package meniscus.recorder.outlet;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.FileSystem;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import meniscus.drivers.mqtt.MqttOutlet;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;

/** The plugin's jar with its library in it, as the build packages it, out of the class path. */
final class PluginJar {

  private PluginJar() {}

  static Path in(Path folder) throws IOException, URISyntaxException {
    Path jar = folder.resolve("meniscus-mqtt.jar");
    Set<String> names = new HashSet<>();
    try (ZipOutputStream out = new ZipOutputStream(Files.newOutputStream(jar))) {
      for (Class<?> type : List.of(MqttOutlet.class, MqttAsyncClient.class)) {
        Path from = Path.of(type.getProtectionDomain().getCodeSource().getLocation().toURI());
        if (Files.isDirectory(from)) {
          add(from, out, names);
        } else {
          try (FileSystem zip = FileSystems.newFileSystem(from)) {
            add(zip.getPath("/"), out, names);
          }
        }
      }
    }
    return jar;
  }

  private static void add(Path root, ZipOutputStream out, Set<String> names) throws IOException {
    try (Stream<Path> files = Files.walk(root)) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        String name = root.relativize(file).toString().replace('\\', '/');
        if (!name.matches("META-INF/(MANIFEST.MF|.*\\.[RS][SF]A?)") && names.add(name)) {
          put(out, name, file);
        }
      }
    }
  }

  private static void put(ZipOutputStream out, String name, Path file) throws IOException {
    out.putNextEntry(new ZipEntry(name));
    Files.copy(file, out);
  }
}
