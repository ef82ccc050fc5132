package meniscus.recorder.folder;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.UUID;
import java.util.regex.Pattern;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.disk.InsideName;
import meniscus.recorder.file.StrictJson;
import meniscus.recorder.json.JsonOut;

/**
 * datapackage.json: the list of all files, with hash and columns, and the hash of its own bytes.
 *
 * @param format that the folder was written in, such as {@code test/1.1}
 * @param title in words
 * @param origin of the test
 * @param journalBytes length of the journal that it was made from
 * @param damage what the journal had lost; empty in a whole test
 * @param resources all files but this one
 */
record PackageFile(
    String format,
    String title,
    Origin origin,
    long journalBytes,
    List<String> damage,
    List<Resource> resources) {

  static final String FILE = "datapackage.json";
  static final String FORMAT = "test/1.6";

  /** Of a plate in the head's place. */
  static final String PLATE_FORMAT = "plate-test/1.1";

  static final String PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json";

  private static final Pattern KNOWN = Pattern.compile("(plate-)?test/1(\\.\\d{1,4})?");

  /** Written before {@code rough} was told from {@code unsteady}. */
  private static final Pattern OLDER_VERDICTS = Pattern.compile("test/1(\\.[01])?");

  /** Written before a rough lift had to be rougher than the one above as well, low on the port. */
  private static final Pattern OTHER_RULES = Pattern.compile("test/1(\\.[012])?");

  /** Written before this file had a seal. */
  private static final Pattern UNSEALED = Pattern.compile("test/1(\\.[0-5])?|plate-test/1");

  private static final String HASH_OF = "sha256:";

  /** Stands in the seal's place while the bytes of the seal are worked out. */
  private static final String NO_SEAL = "0".repeat(64);

  private static final Pattern HASH = Pattern.compile("sha256:[0-9a-f]{64}");

  /**
   * Where the test comes from.
   *
   * @param id that no other test has; empty in folders from before tests had one
   * @param program that recorded it
   * @param created when it began
   */
  record Origin(Optional<UUID> id, String program, Instant created) {}

  PackageFile {
    damage = List.copyOf(damage);
    resources = List.copyOf(resources);
  }

  Optional<Resource> resource(String path) {
    return resources.stream().filter(resource -> resource.path().equals(path)).findFirst();
  }

  /** With one file written anew, or added. */
  PackageFile with(Resource written) {
    List<Resource> all = new ArrayList<>(resources);
    if (resource(written.path()).isPresent()) {
      all.replaceAll(one -> one.path().equals(written.path()) ? written : one);
    } else {
      all.add(written);
    }
    return new PackageFile(format, title, origin, journalBytes, damage, all);
  }

  byte[] write() {
    ObjectNode root = StrictJson.MAPPER.createObjectNode();
    root.put("$schema", PROFILE);
    root.put("meniscus", format);
    String created = origin.created().toString();
    root.put(
        "name",
        (isOfPlate() ? "plate-test-" : "lift-test-")
            + created.toLowerCase(Locale.ROOT).replace(":", ""));
    origin.id().ifPresent(own -> root.put("id", own.toString()));
    root.put("title", title);
    root.put("created", created);
    root.put("program", origin.program());
    root.put("journal_bytes", journalBytes);
    if (!damage.isEmpty()) {
      JsonOut.array(root, "damage", damage);
    }
    ArrayNode list = root.putArray("resources");
    Set<String> names = new HashSet<>();
    resources.forEach(
        resource -> describe(list.addObject().put("name", newName(resource, names)), resource));
    root.put("seal", HASH_OF + NO_SEAL);
    try {
      DefaultIndenter two = new DefaultIndenter("  ", "\n");
      String text =
          StrictJson.MAPPER
              .writer(new DefaultPrettyPrinter().withObjectIndenter(two).withArrayIndenter(two))
              .writeValueAsString(root);
      return sealed((text + "\n").getBytes(StandardCharsets.UTF_8), NO_SEAL);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a JSON tree can always be written", e);
    }
  }

  /**
   * The same file with the hash of all its bytes in it, for which the seal's own 64 digits count as
   * zeros: nothing else vouches for the title, the times and the list itself.
   *
   * @param seal that stands in it so far
   */
  static byte[] sealed(byte[] file, String seal) {
    // Byte for byte, whatever they are.
    String text = new String(file, StandardCharsets.ISO_8859_1);
    int at = text.lastIndexOf(HASH_OF + seal) + HASH_OF.length();
    String after = text.substring(at + seal.length());
    byte[] blank = (text.substring(0, at) + NO_SEAL + after).getBytes(StandardCharsets.ISO_8859_1);
    return (text.substring(0, at) + Sha256.hex(blank) + after)
        .getBytes(StandardCharsets.ISO_8859_1);
  }

  /** Whether the bytes are those that were written, as far as the file itself can tell. */
  private static boolean holds(JsonNode root, byte[] file) {
    String seal = root.path("seal").asText();
    return seal.isEmpty()
        ? UNSEALED.matcher(root.path("meniscus").asText()).matches()
        : HASH.matcher(seal).matches()
            && Arrays.equals(file, sealed(file, seal.substring(HASH_OF.length())));
  }

  /** The standard wants names unique; in lower case two paths may meet. */
  private static String newName(Resource resource, Set<String> taken) {
    String name = resource.name();
    for (int n = 2; !taken.add(name); n++) {
      name = resource.name() + "-" + n;
    }
    return name;
  }

  private static void describe(ObjectNode node, Resource resource) {
    node.put("path", resource.path());
    if (resource.isTable()) {
      node.put("type", "table");
    }
    node.put("format", resource.format());
    node.put("mediatype", resource.mediatype());
    if (resource.isText()) {
      node.put("encoding", "utf-8");
    }
    if (resource.isCompressed()) {
      node.put("compression", "gz");
    }
    node.put("bytes", resource.bytes());
    node.put("hash", HASH_OF + resource.sha256());
    resource.rows().ifPresent(rows -> node.put("rows", rows));
    if (resource.isTable()) {
      node.putObject("dialect").put("lineTerminator", "\n");
      ObjectNode schema = node.putObject("schema");
      ArrayNode fields = schema.putArray("fields");
      resource.fields().forEach(field -> describe(fields.addObject(), field));
      if (resource.path().equals(PointsTable.FILE)) {
        schema.putArray("primaryKey").add("rung");
      }
    }
  }

  private static void describe(ObjectNode node, Field field) {
    node.put("name", field.name());
    node.put("type", field.type());
    if (!field.unit().isEmpty()) {
      node.put("unit", field.unit());
    }
    node.put("description", field.description());
    if (!field.words().isEmpty()) {
      JsonOut.array(node.putObject("constraints"), "enum", field.words());
    }
  }

  /**
   * @throws BadTestFolder when it is not ours, newer, or names files that it may not
   */
  static PackageFile read(byte[] bytes) throws BadTestFolder {
    JsonNode root;
    try {
      root = StrictJson.MAPPER.readTree(bytes);
    } catch (IOException e) {
      throw new BadTestFolder(FILE + " is not whole JSON: the folder is damaged", e);
    }
    checkFormat(root.path("meniscus").asText());
    if (!holds(root, bytes)) {
      throw new BadTestFolder(FILE + " is not what was written: take it from a copy of the folder");
    }
    List<Resource> resources = new ArrayList<>();
    Set<String> paths = new HashSet<>();
    for (JsonNode node : root.path("resources")) {
      Resource resource = resource(node);
      if (!paths.add(resource.path())) {
        throw new BadTestFolder(FILE + " lists " + resource.path() + " twice");
      }
      resources.add(resource);
    }
    List<String> damage = new ArrayList<>();
    root.path("damage").forEach(lost -> damage.add(lost.asText()));
    return new PackageFile(
        root.path("meniscus").asText(),
        root.path("title").asText(),
        new Origin(
            id(root.path("id").asText()),
            root.path("program").asText(),
            created(root.path("created").asText())),
        root.path("journal_bytes").asLong(-1),
        damage,
        resources);
  }

  /** Whether a plate stood in the head's place. */
  boolean isOfPlate() {
    return format.startsWith("plate-");
  }

  /** Whether its verdicts were given by rules that this program has no more. */
  boolean otherRules() {
    return OTHER_RULES.matcher(format).matches();
  }

  /**
   * Whether verdicts are by rules that this program has no more: {@code unsteady} is what is called
   * {@code rough} now, and some readings would be judged otherwise.
   */
  boolean olderVerdicts() {
    return OLDER_VERDICTS.matcher(format).matches();
  }

  private static void checkFormat(String format) throws BadTestFolder {
    if (KNOWN.matcher(format).matches()) {
      return;
    }
    throw new BadTestFolder(
        format.startsWith("test/") || format.startsWith("plate-test/")
            ? "this test folder is of format \""
                + format
                + "\"; this program reads "
                + (format.startsWith("test/") ? FORMAT : PLATE_FORMAT)
                + ": use a newer version of it"
            : FILE + " is not of a lift test: it has no \"meniscus\": \"" + FORMAT + "\"");
  }

  private static Optional<UUID> id(String text) throws BadTestFolder {
    try {
      return text.isEmpty() ? Optional.empty() : Optional.of(UUID.fromString(text));
    } catch (IllegalArgumentException e) {
      throw new BadTestFolder(FILE + ": \"id\" is not the id of a test: " + text, e);
    }
  }

  private static Instant created(String text) throws BadTestFolder {
    try {
      return Instant.parse(text);
    } catch (DateTimeException e) {
      throw new BadTestFolder(FILE + ": \"created\" is not a time: " + text, e);
    }
  }

  private static Resource resource(JsonNode node) throws BadTestFolder {
    String path = node.path("path").asText();
    String hash = node.path("hash").asText();
    if (!InsideName.ok(path)) {
      throw new BadTestFolder(
          FILE + " lists \"" + path + "\", which no test folder may hold: nothing was read");
    }
    if (!HASH.matcher(hash).matches() || !node.path("bytes").isIntegralNumber()) {
      throw new BadTestFolder(FILE + ": " + path + " needs its bytes and a hash sha256:…");
    }
    List<Field> fields = new ArrayList<>();
    for (JsonNode field : node.path("schema").path("fields")) {
      fields.add(
          new Field(
              field.path("name").asText(),
              field.path("type").asText(),
              field.path("unit").asText(),
              field.path("description").asText(),
              List.of()));
    }
    return new Resource(
        path,
        node.path("bytes").asLong(),
        hash.substring(HASH_OF.length()),
        node.has("rows") ? OptionalLong.of(node.path("rows").asLong()) : OptionalLong.empty(),
        fields);
  }
}
