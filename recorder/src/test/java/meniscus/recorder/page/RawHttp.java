package meniscus.recorder.page;

import java.io.IOException;
import java.io.InputStream;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;

/** Requests word by word: what a client library would refuse to send. */
final class RawHttp {

  private final URI page;

  RawHttp(PageServer page) {
    this(page.address());
  }

  /**
   * @param page where it is
   */
  RawHttp(URI page) {
    this.page = page;
  }

  String host() {
    return page.getHost() + ":" + page.getPort();
  }

  /** The whole answer, headers included. */
  String ask(String text) throws IOException {
    try (Socket socket = open(text)) {
      return new String(socket.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  Socket open(String text) throws IOException {
    Socket socket = new Socket(page.getHost(), page.getPort());
    socket.setSoTimeout(20_000);
    socket.getOutputStream().write(text.getBytes(StandardCharsets.UTF_8));
    socket.getOutputStream().flush();
    return socket;
  }

  String get(String path, String... headers) throws IOException {
    return ask(head("GET " + path, headers) + "\r\n");
  }

  String post(String path, String body, String... headers) throws IOException {
    int length = body.getBytes(StandardCharsets.UTF_8).length;
    return ask(
        head("POST " + path, headers)
            + "Content-Type: application/json\r\nContent-Length: "
            + length
            + "\r\n\r\n"
            + body);
  }

  String head(String way, String... headers) {
    StringBuilder text = new StringBuilder(way + " HTTP/1.1\r\nConnection: close\r\n");
    if (String.join("\n", headers).lines().noneMatch(header -> header.startsWith("Host:"))) {
      text.append("Host: ").append(host()).append("\r\n");
    }
    for (String header : headers) {
      text.append(header).append("\r\n");
    }
    return text.toString();
  }

  static int status(String answer) {
    return Integer.parseInt(answer.split(" ", 3)[1]);
  }

  /** Reads until a text has come. */
  static String readUntil(Socket socket, String wanted) throws IOException {
    InputStream in = socket.getInputStream();
    StringBuilder text = new StringBuilder();
    byte[] buffer = new byte[4096];
    while (text.indexOf(wanted) < 0) {
      int count = in.read(buffer);
      if (count < 0) {
        throw new IOException("ended before \"" + wanted + "\": " + text);
      }
      text.append(new String(buffer, 0, count, StandardCharsets.UTF_8));
    }
    return text.toString();
  }
}
