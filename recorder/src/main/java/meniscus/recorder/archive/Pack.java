package meniscus.recorder.archive;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedMap;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.zip.CRC32;
import java.util.zip.CheckedInputStream;
import java.util.zip.Deflater;
import java.util.zip.DeflaterOutputStream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import meniscus.recorder.archive.TestArchive.Found;
import meniscus.recorder.disk.PortableName;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.folder.TypedFolder;
import meniscus.recorder.zip.ZipDisk;

/**
 * Packs tests into one zip: each in a folder of its own with all that it took along (bench,
 * calibration, calm record, sheets, notes and photos). The same tests give the same bytes: files
 * stand in the order of their names, and bear the time of their test.
 *
 * @param file that was written
 * @param bytes of it
 * @param tests in it, by name
 */
public record Pack(Path file, long bytes, List<Packed> tests) {

  /** Above this a file is stored as it is: nothing that is packed here looks like a trap. */
  private static final int MOST_TIMES = 50;

  /** The span of a zip's times (PKWARE, "APPNOTE.TXT", 4.4.6). */
  private static final LocalDateTime FIRST = LocalDateTime.of(1980, 1, 1, 0, 0);

  private static final LocalDateTime LAST = LocalDateTime.of(2107, 12, 31, 23, 59, 58);

  /**
   * A test in the pack.
   *
   * @param name of its folder in the zip
   * @param files how many
   */
  public record Packed(String name, int files) {}

  /** Files of one test, and the time that they bear. */
  private record Content(Path folder, LocalDateTime time, SortedSet<String> files, Opening from) {}

  private interface Opening {
    InputStream open(String file) throws IOException;
  }

  public Pack {
    tests = List.copyOf(tests);
  }

  /**
   * Writes tests into a zip, whole or not at all.
   *
   * @throws FileNotAccepted when a test is unfinished or damaged, or two would have one name
   */
  public static Pack write(Path file, List<Found> found) throws IOException {
    SortedMap<String, Content> tests = named(found);
    List<Packed> packed = new ArrayList<>();
    WholeFile.write(
        file,
        part -> {
          try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(part), 1 << 16);
              ZipOutputStream zip = new ZipOutputStream(out, StandardCharsets.UTF_8)) {
            for (Map.Entry<String, Content> test : tests.entrySet()) {
              packed.add(add(zip, test.getKey(), test.getValue()));
            }
          }
          ZipDisk.check(part);
        });
    return new Pack(file, Files.size(file), packed);
  }

  private static SortedMap<String, Content> named(List<Found> found) {
    SortedMap<String, Content> tests = new TreeMap<>();
    for (Found one : found) {
      String name = name(one.entry().name());
      Content before = tests.put(name, whole(one));
      if (before != null) {
        throw new FileNotAccepted(
            before.folder()
                + " and "
                + one.folder()
                + " would both be \""
                + name
                + "\" in the zip: pack the folder that holds both, or rename one");
      }
    }
    Optional<String> fault = PortableName.fault(tests.keySet());
    if (fault.isPresent()) {
      throw new FileNotAccepted("these tests cannot be packed together: " + fault.get());
    }
    return tests;
  }

  /** A folder that a person named may have blanks and other letters than a zip holds safely. */
  private static String name(String folder) {
    String plain = folder.replaceAll("[^A-Za-z0-9._/-]+", "-");
    return plain.matches("[A-Za-z0-9_].*") ? plain : "test" + plain;
  }

  private static Content whole(Found test) {
    if (test.entry().typed().isPresent()) {
      TypedFolder typed = test.entry().typed().get();
      return new Content(
          typed.folder(),
          typed.typed().on().map(LocalDate::atStartOfDay).orElse(FIRST),
          typed.everything(),
          typed::content);
    }
    if (test.entry().stands().equals("unfinished")) {
      throw new FileNotAccepted(
          test.folder()
              + " holds an unfinished test: finish it with record --resume, or leave it out");
    }
    try {
      TestFolder whole = TestFolder.open(test.folder());
      LocalDateTime began = LocalDateTime.ofInstant(whole.created(), ZoneOffset.UTC);
      return new Content(whole.folder(), began, whole.everything(), whole::content);
    } catch (BadTestFolder e) {
      throw new FileNotAccepted(test.folder() + " is damaged: " + e.getMessage(), e);
    } catch (IOException e) {
      throw new FileNotAccepted(test.folder() + " cannot be read: " + e.getMessage(), e);
    }
  }

  private static Packed add(ZipOutputStream zip, String name, Content test) throws IOException {
    for (String file : test.files()) {
      ZipEntry entry = new ZipEntry(name + "/" + file);
      entry.setTimeLocal(within(test.time()));
      try (InputStream in = test.from().open(file)) {
        measure(entry, in);
      }
      zip.putNextEntry(entry);
      try (InputStream in = test.from().open(file)) {
        in.transferTo(zip);
      }
      zip.closeEntry();
    }
    return new Packed(name, test.files().size());
  }

  /** Sizes and checksum stand in front of the data, so that the zip can be read from its start. */
  private static void measure(ZipEntry entry, InputStream in) throws IOException {
    CheckedInputStream summed = new CheckedInputStream(in, new CRC32());
    Deflater deflater = new Deflater(Deflater.DEFAULT_COMPRESSION, true);
    try (DeflaterOutputStream out =
        new DeflaterOutputStream(OutputStream.nullOutputStream(), deflater)) {
      summed.transferTo(out);
      out.finish();
      long size = deflater.getBytesRead();
      long packed = deflater.getBytesWritten();
      boolean shrinks = packed < size && packed > size / MOST_TIMES;
      entry.setMethod(shrinks ? ZipEntry.DEFLATED : ZipEntry.STORED);
      entry.setSize(size);
      entry.setCompressedSize(shrinks ? packed : size);
      entry.setCrc(summed.getChecksum().getValue());
    } finally {
      deflater.end();
    }
  }

  private static LocalDateTime within(LocalDateTime time) {
    return time.isBefore(FIRST) ? FIRST : time.isAfter(LAST) ? LAST : time;
  }
}
