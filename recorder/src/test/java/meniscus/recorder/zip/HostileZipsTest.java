package meniscus.recorder.zip;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.SortedMap;
import java.util.TreeMap;
import meniscus.core.lift.LiftPoint;
import meniscus.recorder.archive.Search;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.archive.TestArchive.Found;
import meniscus.recorder.cli.Called;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.folder.Seal;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.hostile.Onslaught;
import meniscus.recorder.hostile.Spoilt;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Zips of strangers: taken as they are, or refused in words, and never unpacked into anything. */
@Tag("long")
class HostileZipsTest {

  private static final long SEED = 20311201;
  private static final long FULL_SEED = 20320301;
  private static final int FULL = Math.min(100_000, Onslaught.FULL);
  private static final int SMALL = FULL / 50;

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir private Path temp;

  private Path zip;
  private SortedMap<String, byte[]> files;
  private List<LiftPoint> points;

  @BeforeEach
  void oneTest() throws IOException {
    Path folder = temp.resolve("test");
    InventedFolders.write(folder, InventedFolders.plain("plain"), true, DAY);
    points = TestFolder.open(folder).points();
    files = Zips.files(folder, "a/");
    files.remove("a/test.lock");
    zip = temp.resolve("tests.zip");
  }

  private SortedMap<String, byte[]> and(String name, byte[] bytes) {
    SortedMap<String, byte[]> more = new TreeMap<>(files);
    more.put(name, bytes);
    return more;
  }

  private void refused(String why, byte[] bytes) throws IOException {
    Files.write(zip, bytes);
    for (List<Object> words :
        List.<List<Object>>of(
            List.of("export", zip),
            List.of("recompute", zip.resolve("a")),
            List.of("report", zip, "--out", temp.resolve("report.html")))) {
      Called called = Called.with(words.toArray());
      assertEquals(4, called.code(), why + ": " + called.err());
      assertTrue(called.err().contains(why), why + ": " + called.err());
      assertTrue(called.err().contains("tests.zip"), called.err());
    }
    assertFalse(Files.exists(temp.resolve("report.html")));
  }

  @Test
  void namesThatLeadOutOrMeanTwoThings() throws IOException {
    byte[] ours = Zips.zip(and("a/photos/x.jpg", new byte[9]));
    String outside = "which no test folder may hold";
    for (String name :
        List.of(
            "/etc/passwd",
            "../../evil",
            "a/../../../x",
            "a/photos/./x",
            "a/photos//x",
            "a\\photos\\x",
            "C:/photos/x",
            "a/.ssh/x",
            "a/photos/\u0001",
            "a/photos/x y")) {
      String padded = name + "z".repeat("a/photos/x.jpg".length() - name.length());
      refused(outside, Zips.renamed(ours, "a/photos/x.jpg", padded));
    }
    refused("is the name of a device", Zips.zip(and("a/photos/nul.jpg", new byte[9])));
    refused("differ in capital letters only", Zips.zip(and("a/Plan.json", new byte[9])));
    refused("differ in capital letters only", Zips.zip(and("A/x.json", new byte[9])));
    refused("twice", Zips.renamed(Zips.zip(and("a/plan.jsoN", new byte[9])), "jsoN", "json"));
    refused("of a file and of a folder", Zips.zip(and("a/plan.json/x", new byte[9])));
  }

  @Test
  void linksDevicesAndWhatIsPackedInUnusualWays() throws IOException {
    byte[] ours = Zips.zip(files);
    String name = "a/plan.json";
    int unix = Zips.listed(ours, name);
    for (int type : new int[] {0120777, 0020666, 0010666}) {
      byte[] link = Zips.with(ours, name, 38, type << 16);
      link[unix + 5] = 3;
      refused("is a link", link);
    }
    byte[] encrypted = ours.clone();
    encrypted[unix + 8] |= 1;
    refused("encrypted", encrypted);
    byte[] method = ours.clone();
    method[unix + 10] = 12;
    refused("packed in an unusual way", method);
  }

  @Test
  void bombs() throws IOException {
    byte[] zeros = new byte[4 << 20];
    refused("times as large", Zips.zip(and("a/photos/x.jpg", zeros)));
    // A size that is told too small hides nothing: reading ends there.
    byte[] small = Zips.zip(and("a/photos/x.jpg", zeros));
    byte[] hidden = Zips.with(small, "a/photos/x.jpg", 24, 1000);
    refused("is longer than its size", listing(hidden, "a/photos/x.jpg", 1000));
    byte[] large = Zips.with(Zips.zip(files), "a/plan.json", 24, 900_000);
    refused("plan.json", large);
    SortedMap<String, byte[]> many = new TreeMap<>(files);
    for (int i = 0; i <= ZipListing.MOST_FILES; i++) {
      many.put("b" + i, new byte[0]);
    }
    refused("more than " + ZipListing.MOST_FILES + " files", Zips.zip(many));
  }

  /** Three files without a byte that means anything: a list is believed as far as it is checked. */
  @Test
  void moreThanTheLimitUnpackedIsRefusedAndTheLimitIsNot() throws IOException {
    long third = ZipListing.LARGEST / 3;
    long packed = third / ZipListing.MOST_TIMES + 1;
    long rest = ZipListing.LARGEST - 2 * third;
    Zips.hollow(zip, packed, third, third, rest);
    assertEquals(3, ZipListing.read(zip).names().size());
    Zips.hollow(zip, packed, third, third, rest + 1);
    String why = assertThrows(FileNotAccepted.class, () -> ZipListing.read(zip)).getMessage();
    assertTrue(why.contains("larger than 8 GiB unpacked"), why);
  }

  /** The folder's own list names the file with the false size, so that it is looked into. */
  private byte[] listing(byte[] zipped, String name, int size) throws IOException {
    String described =
        new String(files.get("a/datapackage.json"))
            .replaceFirst(
                "\"resources\" *: *\\[",
                "\"resources\": [{\"path\": \""
                    + name.substring(2)
                    + "\", \"bytes\": "
                    + size
                    + ", \"hash\": \"sha256:"
                    + "ab".repeat(32)
                    + "\"},");
    SortedMap<String, byte[]> more = and(name, new byte[4 << 20]);
    more.put("a/datapackage.json", Seal.of(described).getBytes());
    return Zips.with(Zips.zip(more), name, 24, size);
  }

  @Test
  void whatIsCutAddedOrLaidOverEachOther() throws IOException {
    byte[] ours = Zips.zip(files);
    refused("too short", new byte[3]);
    refused("cut short", Arrays.copyOf(ours, ours.length - 1));
    refused("something was added", Arrays.copyOf(ours, ours.length + 1));
    byte[] before = new byte[ours.length + 7];
    System.arraycopy(ours, 0, before, 7, ours.length);
    refused("list of files", before);
    for (int at : new int[] {0, 12, 20, 28, 42, 46}) {
      byte[] damaged = ours.clone();
      damaged[Zips.listed(ours, "a/plan.json") + at] ^= 0x55;
      Files.write(zip, damaged);
      int code = Called.with("recompute", zip).code();
      assertTrue(at == 12 || code == 4, "byte " + at + " of the list");
    }
    int first = Zips.listed(ours, files.firstKey());
    byte[] over = ours.clone();
    System.arraycopy(ours, first + 42, over, Zips.listed(ours, "a/plan.json") + 42, 4);
    refused("lie upon each other", over);
    byte[] content = ours.clone();
    content[60] ^= 1;
    Files.write(zip, content);
    assertEquals(4, Called.with("export", zip).code());
  }

  @Test
  void spoiltZips() throws Exception {
    spoilt(SMALL, SEED);
  }

  @Test
  @Tag("bench")
  void aHundredThousandSpoiltZips() throws Exception {
    spoilt(FULL, FULL_SEED);
  }

  private void spoilt(int cases, long seed) throws Exception {
    byte[] whole = Zips.zip(files);
    int list = Zips.listed(whole, files.firstKey());
    int refused =
        Onslaught.run(
            "zips", cases, seed, random -> spoilt(whole, list, random), bytes -> refusal(bytes));
    assertTrue(refused > cases / 2, refused + " of " + cases);
  }

  /** Half of the harm is done to the list, where a zip says what it is. */
  private static byte[] spoilt(byte[] whole, int list, Random random) {
    byte[] some = whole.clone();
    switch (random.nextInt(6)) {
      case 0 -> some = Spoilt.bytes(whole, random);
      case 1 -> some = Arrays.copyOf(whole, random.nextInt(whole.length + 100));
      case 2 -> {
        int at = list + random.nextInt(whole.length - list - 4);
        int value = new int[] {0, -1, 1, Integer.MAX_VALUE, 0x04034b50}[random.nextInt(5)];
        java.nio.ByteBuffer.wrap(some).putInt(at, Integer.reverseBytes(value));
      }
      case 3 -> {
        int from = random.nextInt(whole.length - 200);
        int to = random.nextInt(whole.length - 200);
        System.arraycopy(whole, from, some, to, random.nextInt(200));
      }
      default -> some[list + random.nextInt(whole.length - list)] = (byte) random.nextInt(256);
    }
    return some;
  }

  private String refusal(byte[] bytes) throws IOException {
    Files.write(zip, bytes);
    try {
      for (Found found : TestArchive.find(List.of(zip), Search.ALL)) {
        TestFolder test = TestFolder.open(found.folder());
        assertEquals(points, test.points(), "what is taken is what was packed");
      }
      return "";
    } catch (FileNotAccepted | BadTestFolder e) {
      return e.getMessage();
    } catch (IOException e) {
      return String.valueOf(e.getMessage());
    }
  }
}
