package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.InetAddress;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.concurrent.atomic.AtomicReference;
import javax.imageio.ImageIO;
import meniscus.core.Needed;
import meniscus.recorder.archive.NotesOfTest;
import meniscus.recorder.archive.PhotoKind;
import meniscus.recorder.cli.Called;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.Notes;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the page's server takes and gives of a finished test: photos, tables, its history. */
class PhotosTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir Path data;
  private final HttpClient client = HttpClient.newHttpClient();
  private PageServer page;

  @BeforeEach
  void serve() throws IOException {
    InventedFolders.write(data.resolve("plain"), InventedFolders.plain("plain"), true, DAY);
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
  }

  @AfterEach
  void close() {
    page.close();
  }

  static byte[] picture(String form) throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    ImageIO.write(new BufferedImage(40, 30, BufferedImage.TYPE_INT_RGB), form, bytes);
    return bytes.toByteArray();
  }

  private HttpResponse<byte[]> send(
      URI door, String query, String type, byte[] body, String... more) throws Exception {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(door.resolve("/api/photo?" + query))
            .header("Content-Type", type)
            .POST(HttpRequest.BodyPublishers.ofByteArray(body));
    if (more.length > 0) {
      request.headers(more);
    }
    return client.send(request.build(), HttpResponse.BodyHandlers.ofByteArray());
  }

  private HttpResponse<byte[]> get(String path) throws Exception {
    return client.send(
        HttpRequest.newBuilder(page.address().resolve(path)).build(),
        HttpResponse.BodyHandlers.ofByteArray());
  }

  private List<Notes.Photo> photos() throws IOException {
    return NotesOfTest.of(TestFolder.open(data.resolve("plain"))).notes().photos();
  }

  @Test
  void aPhotoIsStoredUnderANameOfOurOwnAndServedAsWhatItIs() throws Exception {
    byte[] jpeg = picture("jpg");
    byte[] png = picture("png");
    // What the sender calls it does not count: a PNG may come as image/jpeg.
    assertEquals(
        200,
        send(page.address(), "name=plain&caption=bowl%20%3Cb%3E", "image/jpeg", jpeg).statusCode());
    assertEquals(200, send(page.address(), "name=plain", "image/jpeg", png).statusCode());
    assertEquals(200, send(page.address(), "name=plain", "image/png", png).statusCode(), "again");
    List<Notes.Photo> photos = photos();
    assertEquals(2, photos.size(), "the same picture is there once: " + photos);
    assertTrue(photos.get(0).file().matches("photos/photo-[0-9a-f]{12}\\.jpg"), "" + photos);
    assertTrue(photos.get(1).file().matches("photos/photo-[0-9a-f]{12}\\.png"), "" + photos);
    assertEquals("bowl <b>", photos.get(0).caption());
    HttpResponse<byte[]> back = get("/photo?name=plain&file=" + photos.get(1).file());
    assertArrayEquals(png, back.body());
    assertEquals("image/png", back.headers().firstValue("Content-Type").orElse(""));
    assertEquals("nosniff", back.headers().firstValue("X-Content-Type-Options").orElse(""));
    assertTrue(
        new String(get("/api/test?name=plain").body(), StandardCharsets.UTF_8)
            .contains("\"photos\":[{\"file\":\"photos/photo-"));
  }

  @Test
  void whatIsNoPictureOrTooLargeOrElsewhereIsRefused() throws Exception {
    byte[] jpeg = picture("jpg");
    byte[] png = picture("png");
    byte[] script = "<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>".getBytes();
    byte[] disguised = Arrays.copyOf(jpeg, 3 + script.length);
    System.arraycopy(script, 0, disguised, 3, script.length);
    for (byte[] bad :
        List.of(
            new byte[0],
            script,
            disguised,
            Arrays.copyOf(jpeg, 20),
            Arrays.copyOf(png, png.length - 12),
            Arrays.copyOf(png, 9))) {
      assertEquals(422, send(page.address(), "name=plain", "image/png", bad).statusCode());
    }
    byte[] large = Arrays.copyOf(jpeg, (4 << 20) + 1);
    assertEquals(413, send(page.address(), "name=plain", "image/jpeg", large).statusCode());
    assertEquals(415, send(page.address(), "name=plain", "image/svg+xml", jpeg).statusCode());
    assertEquals(415, send(page.address(), "name=plain", "text/plain", jpeg).statusCode());
    for (String name : List.of("..", "..%2Fplain", "plain%2F..", "%2Fetc", "none")) {
      int status = send(page.address(), "name=" + name, "image/jpeg", jpeg).statusCode();
      assertTrue(status == 400 || status == 404, name + ": " + status);
    }
    assertEquals(
        400,
        send(page.address(), "name=plain&caption=" + "x".repeat(201), "image/jpeg", jpeg)
            .statusCode());
    assertEquals(List.of(), photos());
    assertEquals(200, send(page.address(), "name=plain", "image/jpeg", jpeg).statusCode());
    for (String file : List.of("points.csv", "photos/x.jpg", "..%2Fbench.json", "plan.json")) {
      assertEquals(404, get("/photo?name=plain&file=" + file).statusCode(), file);
    }
  }

  /** Random bytes behind a good beginning are never taken for a picture by accident. */
  @Test
  void spoiltPicturesAreToldByTheirContent() throws IOException {
    long seed = 20;
    Random random = new Random(seed);
    for (String form : List.of("jpg", "png")) {
      byte[] whole = picture(form);
      assertTrue(PhotoKind.of(whole).isPresent(), form);
      for (int i = 0; i < 2_000; i++) {
        byte[] junk = new byte[whole.length];
        random.nextBytes(junk);
        System.arraycopy(whole, 0, junk, 0, 8);
        assertTrue(PhotoKind.of(junk).isEmpty(), form + ", seed " + seed + ", case " + i);
      }
    }
  }

  @Test
  void aPhoneOfTheShopSendsPhotosOnceItIsGivenCharge() throws Exception {
    AtomicReference<String> code = new AtomicReference<>("");
    URI shop;
    try {
      shop = page.share(InetAddress.getByName("127.0.0.2"), code::set);
    } catch (IOException e) {
      Needed.that(false, "no second loopback address here: " + e.getMessage());
      return;
    }
    byte[] jpeg = picture("jpg");
    assertEquals(403, send(shop, "name=plain", "image/jpeg", jpeg).statusCode(), "no code");
    HttpResponse<String> in =
        client.send(
            HttpRequest.newBuilder(shop.resolve("/api/code"))
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString("{\"code\":\"" + code.get() + "\"}"))
                .build(),
            HttpResponse.BodyHandlers.ofString());
    String cookie = in.headers().firstValue("Set-Cookie").orElseThrow().split(";")[0];
    HttpResponse<byte[]> watching = send(shop, "name=plain", "image/jpeg", jpeg, "Cookie", cookie);
    assertEquals(403, watching.statusCode(), "who watches sends nothing");
    assertEquals(List.of(), photos());
    String allow = "{\"guest\":1,\"may_command\":true}";
    assertEquals(200, RawHttp.status(new RawHttp(page).post("/api/guests", allow)));
    assertEquals(200, send(shop, "name=plain", "image/jpeg", jpeg, "Cookie", cookie).statusCode());
    assertEquals(1, photos().size());
  }

  @Test
  void itsPointsAreATableForOtherPrograms() throws Exception {
    HttpResponse<byte[]> csv = get("/export?test=plain");
    String text = new String(csv.body(), StandardCharsets.UTF_8);
    assertTrue(text.startsWith("\uFEFFtest,kept_at,"), text.substring(0, 60));
    assertEquals(
        "attachment; filename=\"plain.csv\"",
        csv.headers().firstValue("Content-Disposition").orElse(""));
    String comma =
        new String(get("/export?test=plain&form=csv-comma").body(), StandardCharsets.UTF_8);
    assertTrue(comma.startsWith("\uFEFFtest;kept_at;"), comma.substring(0, 60));
    String json = new String(get("/export?test=plain&form=json").body(), StandardCharsets.UTF_8);
    assertTrue(json.startsWith("{"), json.substring(0, 20));
    assertEquals(
        text.lines().count() - 1,
        TestFolder.open(data.resolve("plain")).points().size(),
        "a row a point");
    assertEquals(400, get("/export?test=plain&form=xls").statusCode());
    assertEquals(404, get("/export?test=none").statusCode());
  }

  @Test
  void itsHistoryHasImportedCurvesAndAims() throws Exception {
    String head = InventedFolders.plain("plain").plan().part().head();
    Path csv =
        Files.writeString(
            data.resolve("old.csv"), "lift (in),flow (cfm)\n0.1,70\n0.3,180\n0.5,225\n");
    Called imported =
        Called.with("import", csv, "--into", data.resolve("old"), "--head", head, "--port", "p");
    assertEquals(0, imported.code(), imported.err());
    String path = "/report?test=plain&sheet=history";
    String html = new String(get(path).body(), StandardCharsets.UTF_8);
    assertTrue(html.contains("old") && html.contains("listed, not judged"), html);
    String aimed =
        new String(
            get(path + "&aim=100+cfm+at+0.3+in&aim=900+cfm+at+0.5+in").body(),
            StandardCharsets.UTF_8);
    assertTrue(aimed.contains("Aims") && aimed.contains("reached"), aimed);
    HttpResponse<byte[]> wrong = get(path + "&aim=a+lot");
    assertEquals(400, wrong.statusCode());
    assertEquals(404, get(path + "&target=none.csv").statusCode());
    assertEquals(400, get(path + "&series=..%2Fx").statusCode());
  }
}
