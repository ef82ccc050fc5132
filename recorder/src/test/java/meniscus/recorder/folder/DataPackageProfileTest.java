package meniscus.recorder.folder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaLocation;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.function.Consumer;
import javax.imageio.ImageIO;
import meniscus.core.lift.InventedBench;
import meniscus.recorder.cli.Called;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every kind of test folder but the demo's, which {@code DemoTruthTest} holds against it, against
 * the {@link DataPackageProfile}; an encoding is for text alone.
 */
@Tag("long")
class DataPackageProfileTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  private final DataPackageProfile profile = new DataPackageProfile();

  @TempDir private Path temp;

  private void assertFollowsTheStandard(Path folder) throws IOException {
    profile.assertFollowedBy(folder);
  }

  // ------------------------------------------------------------------ the folders we write

  @Test
  void aFinishedJournalFollowsTheProfile() throws IOException {
    assertFollowsTheStandard(madeUp());
  }

  private Path madeUp() throws IOException {
    Path folder = Files.createDirectories(temp.resolve("made-up"));
    try (FolderLock lock = FolderLock.take(folder)) {
      MadeUpTest.record(lock, Optional.empty());
      MadeUpTest.finish(lock, "Made-up test");
    }
    return folder;
  }

  @Test
  void aTestThatLostABlockFollowsTheProfile() throws IOException {
    Path folder = Files.createDirectories(temp.resolve("damaged"));
    try (FolderLock lock = FolderLock.take(folder)) {
      MadeUpTest.record(lock, Optional.empty());
      Path journal = folder.resolve(Journal.NAME);
      byte[] bytes = Files.readAllBytes(journal);
      bytes[bytes.length / 2] ^= 1;
      Files.write(journal, bytes);
      MadeUpTest.finish(lock, "Damaged test");
    }
    assertTrue(DataPackageProfile.descriptor(folder).get("damage").size() > 0);
    assertFollowsTheStandard(folder);
  }

  @Test
  void aTestWithNotesAndAPhotoFollowsTheProfileAndAPhotoHasNoEncoding() throws IOException {
    Path folder = temp.resolve("noted");
    InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
    InventedFolders.write(
        folder,
        bench.run("noted", Optional.empty(), lift -> 1),
        true,
        Instant.parse("2031-05-06T07:08:09Z"));
    Path photo = temp.resolve("Bowl.JPG");
    ImageIO.write(new BufferedImage(4, 3, BufferedImage.TYPE_INT_RGB), "jpg", photo.toFile());
    Called note = Called.with("note", folder, "after the first pass", "--photo", photo);
    assertEquals(0, note.code(), note.err());
    assertFollowsTheStandard(folder);
    boolean seen = false;
    for (JsonNode resource : DataPackageProfile.descriptor(folder).get("resources")) {
      boolean picture = resource.get("mediatype").asText().startsWith("image/");
      assertEquals(!picture, resource.has("encoding"), resource.toString());
      seen |= picture;
    }
    assertTrue(seen);
  }

  @Test
  void theFolderOfTheFirstVersionFollowsTheProfile() throws Exception {
    Path first =
        Path.of(getClass().getResource("/meniscus/recorder/formats/test-1/points.csv").toURI());
    assertFollowsTheStandard(first.getParent());
  }

  @Test
  void namesThatDifferInCaseAloneStayUnique() throws IOException {
    Resource upper =
        new Resource("sheets/Dial.json", 1, "0".repeat(64), OptionalLong.empty(), List.of());
    Resource lower =
        new Resource("sheets/dial.json", 1, "0".repeat(64), OptionalLong.empty(), List.of());
    byte[] written =
        new PackageFile(
                PackageFile.FORMAT,
                "t",
                new PackageFile.Origin(Optional.empty(), "p", Instant.EPOCH),
                1,
                List.of(),
                List.of(upper, lower))
            .write();
    JsonNode descriptor = JSON.readTree(written);
    assertEquals(List.of(), profile.complaints(descriptor));
    assertEquals("sheets-dial.json", descriptor.at("/resources/0/name").asText());
    assertEquals("sheets-dial.json-2", descriptor.at("/resources/1/name").asText());
  }

  // ------------------------------------------------------------------ what the profile refuses

  /** Where the first table stands that has words to choose from. */
  private static ObjectNode points(JsonNode root) {
    for (JsonNode resource : root.get("resources")) {
      if (resource.get("path").asText().equals("points.csv")) {
        return (ObjectNode) resource;
      }
    }
    throw new IllegalStateException("no points.csv");
  }

  private static ObjectNode field(JsonNode root, int index) {
    return (ObjectNode) points(root).at("/schema/fields").get(index);
  }

  @Test
  void whatIsBrokenIsRefused() throws IOException {
    JsonNode good = DataPackageProfile.descriptor(madeUp());
    Map<String, Consumer<ObjectNode>> broken =
        Map.ofEntries(
            Map.entry("no resources", root -> root.remove("resources")),
            Map.entry("an empty list of resources", root -> root.putArray("resources")),
            Map.entry("$schema is a number", root -> root.put("$schema", 2)),
            Map.entry("the name is a number", root -> root.put("name", 7)),
            Map.entry("created is no time", root -> root.put("created", "yesterday")),
            Map.entry("no keywords", root -> root.putArray("keywords")),
            Map.entry("an empty licence", root -> root.putArray("licenses").addObject()),
            Map.entry("a resource without a name", root -> points(root).remove("name")),
            Map.entry("a resource named by a number", root -> points(root).put("name", 3)),
            Map.entry("a resource without a path", root -> points(root).remove("path")),
            Map.entry("a path and data", root -> points(root).put("data", "a,b")),
            Map.entry("a path out of the folder", root -> points(root).put("path", "../p.csv")),
            Map.entry("a path that turns back", root -> points(root).put("path", "a/../p.csv")),
            Map.entry("a path from the root", root -> points(root).put("path", "/p.csv")),
            Map.entry("a path from home", root -> points(root).put("path", "~/p.csv")),
            Map.entry("a path of a URL", root -> points(root).put("path", "file:p.csv")),
            Map.entry("a path of Windows", root -> points(root).put("path", "a\\p.csv")),
            Map.entry("an unknown type", root -> points(root).put("type", "tabular")),
            Map.entry("no media type", root -> points(root).put("mediatype", "csv")),
            Map.entry("a size in words", root -> points(root).put("bytes", "12")),
            Map.entry("a hash without a digest", root -> points(root).put("hash", "sha256:xyz")),
            Map.entry("a dialect in words", root -> points(root).put("dialect", "excel")),
            Map.entry(
                "a header in words",
                root -> ((ObjectNode) points(root).get("dialect")).put("header", "yes")),
            Map.entry(
                "a schema without fields",
                root -> ((ObjectNode) points(root).get("schema")).remove("fields")),
            Map.entry(
                "a schema of no fields",
                root -> ((ObjectNode) points(root).get("schema")).putArray("fields")),
            Map.entry(
                "an empty key",
                root -> ((ObjectNode) points(root).get("schema")).putArray("primaryKey")),
            Map.entry(
                "a key twice",
                root ->
                    ((ObjectNode) points(root).get("schema"))
                        .putArray("primaryKey")
                        .add("rung")
                        .add("rung")),
            Map.entry("a field without a name", root -> field(root, 0).remove("name")),
            Map.entry("a field of unknown type", root -> field(root, 0).put("type", "whole")),
            Map.entry("an integer with a format", root -> field(root, 0).put("format", "hex")),
            Map.entry(
                "no words to choose from",
                root -> field(root, 8).putObject("constraints").putArray("enum")),
            Map.entry(
                "a number among words",
                root -> field(root, 8).putObject("constraints").putArray("enum").add(1)));
    broken.forEach(
        (what, change) -> {
          ObjectNode bad = good.deepCopy();
          change.accept(bad);
          assertFalse(profile.complaints(bad).isEmpty(), what);
        });
    assertEquals(List.of(), profile.complaints(good));
  }

  // ------------------------------------------------------------------ the profile itself

  @Test
  void theProfileIsADraft7Schema() {
    Schema draft =
        DataPackageProfile.DRAFT_7.getSchema(
            SchemaLocation.of("http://json-schema.org/draft-07/schema#"));
    assertEquals(List.of(), draft.validate(profile.text, InputFormat.JSON));
  }

  /** The fields that the published profile shows as examples, as they stand there. */
  @Test
  void theProfileTakesTheFieldsItsPublishersShow() throws IOException {
    ObjectNode root = JSON.createObjectNode();
    ObjectNode resource = root.putArray("resources").addObject();
    resource.put("name", "shown").put("path", "shown.csv").put("type", "table");
    ArrayNode fields = resource.putObject("schema").putArray("fields");
    for (String shown :
        List.of(
            "{'name':'name','type':'string'}",
            "{'name':'name','type':'string','format':'email'}",
            "{'name':'name','type':'string','constraints':{'minLength':3,'maxLength':35}}",
            "{'name':'field-name','type':'number'}",
            "{'name':'field-name','type':'number','constraints':{'enum':['1.00','1.50','2.00']}}",
            "{'name':'age','type':'integer','constraints':"
                + "{'unique':true,'minimum':100,'maximum':9999}}",
            "{'name':'date_of_birth','type':'date'}",
            "{'name':'date_of_birth','type':'date','constraints':{'minimum':'01-01-1900'}}",
            "{'name':'date_of_birth','type':'date','format':'MM-DD-YYYY'}",
            "{'name':'appointment_start','type':'time'}",
            "{'name':'appointment_start','type':'time','format':'any'}",
            "{'name':'timestamp','type':'datetime'}",
            "{'name':'timestamp','type':'datetime','format':'default'}",
            "{'name':'year','type':'year'}",
            "{'name':'year','type':'year','constraints':{'minimum':1970,'maximum':2003}}",
            "{'name':'month','type':'yearmonth'}",
            "{'name':'registered','type':'boolean'}",
            "{'name':'extra','type':'object'}",
            "{'name':'post_office','type':'geopoint'}",
            "{'name':'post_office','type':'geopoint','format':'array'}",
            "{'name':'city_limits','type':'geojson'}",
            "{'name':'city_limits','type':'geojson','format':'topojson'}",
            "{'name':'options','type':'array'}",
            "{'name':'period','type':'duration'}",
            "{'name':'notes','type':'any'}",
            "{'name':'my-field-name'}")) {
      fields.add(JSON.readTree(shown.replace('\'', '"')));
    }
    assertEquals(List.of(), profile.complaints(root));
    for (JsonNode field : List.copyOf(fields.findParents("type"))) {
      ObjectNode other = (ObjectNode) field;
      String was = other.get("type").asText();
      other.put("type", was + "s");
      assertFalse(profile.complaints(root).isEmpty(), was + "s is no type");
      other.put("type", was);
    }
  }
}
