package meniscus.recorder.journal;

import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.uncertainty.Contribution;

/** Payloads as written; {@link PayloadReader} reads them. Numbers are big-endian. */
final class Payload {

  static final String FORMAT = "journal/1";

  /** Content of a file in one block. */
  static final int CHUNK = 256 << 10;

  /** A detail or remark above this many characters is cut; blocks have a limit. */
  private static final int LONGEST_TEXT = 16_000;

  private final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
  private final DataOutputStream out = new DataOutputStream(bytes);

  private Payload() {}

  private interface Filling {
    void into(Payload payload) throws IOException;
  }

  private static byte[] of(Filling filling) {
    Payload payload = new Payload();
    try {
      filling.into(payload);
    } catch (IOException e) {
      throw new UncheckedIOException("memory does not fail", e);
    }
    return payload.bytes.toByteArray();
  }

  static byte[] header(Header header) {
    return of(
        payload -> {
          payload.text(FORMAT);
          payload.text(header.program());
          payload.text(header.created().toString());
          payload.out.writeInt(header.instruments().size());
          for (Header.Columns columns : header.instruments()) {
            payload.text(columns.instrument());
            payload.out.writeInt(columns.channels().size());
            for (Channel channel : columns.channels()) {
              payload.text(channel.name());
              payload.text(channel.unit().code());
            }
          }
          payload.out.writeInt(header.files().size());
          for (Map.Entry<String, byte[]> file : header.files().entrySet()) {
            payload.text(file.getKey());
            payload.out.writeInt(file.getValue().length);
          }
          if (header.id().isPresent()) { // last: readers from before it stop above
            payload.text(header.id().get().toString());
          }
        });
  }

  /** The file's pieces, one payload each; an empty file has none. */
  static List<byte[]> file(String name, byte[] content) {
    List<byte[]> pieces = new ArrayList<>();
    for (int at = 0; at < content.length; at += CHUNK) {
      int from = at;
      pieces.add(
          of(
              payload -> {
                payload.text(name);
                payload.out.writeInt(from);
                payload.out.write(content, from, Math.min(CHUNK, content.length - from));
              }));
    }
    return pieces;
  }

  static byte[] event(TestEvent event) {
    return of(payload -> payload.put(event));
  }

  static byte[] kept(LiftPoint point, TestEvent event) {
    return of(
        payload -> {
          payload.put(event);
          payload.put(point);
        });
  }

  private void put(TestEvent event) throws IOException {
    out.writeLong(event.moment().nanos());
    out.writeLong(event.afterRow());
    text(event.kind().word());
    text(EventText.detail(event));
  }

  private void put(LiftPoint point) throws IOException {
    out.writeInt(point.rung());
    out.writeLong(point.keptAt().nanos());
    out.writeDouble(point.liftM());
    text(point.sweep().word());
    out.writeDouble(point.effectiveAreaM2());
    out.writeDouble(point.flowM3PerS());
    optional(point.flowU95());
    optional(point.flowRepeatU95());
    out.writeDouble(point.testPressurePa());
    out.writeBoolean(point.pressureAsAsked());
    text(point.verdict().word());
    optional(point.unsteadiness());
    out.writeDouble(point.average().seconds());
    out.writeDouble(point.average().effectiveSamples());
    optional(point.flow().cdCurtain());
    optional(point.setting().liftReadM());
    optional(point.setting().liftU95());
    out.writeInt(point.attempt());
    text(point.range());
    out.writeInt(point.taken().segment());
    out.writeInt(point.remarks().size());
    for (String remark : point.remarkSentences()) {
      text(remark);
    }
    out.writeInt(point.budget().size());
    for (Contribution line : point.budget()) {
      put(line);
    }
  }

  private void put(Contribution line) throws IOException {
    text(line.source());
    text(line.kind().word());
    out.writeDouble(line.standardUncertainty());
    out.writeDouble(line.degreesOfFreedom());
    out.writeDouble(line.sensitivity());
    text(line.sharedId());
  }

  private void optional(OptionalDouble value) throws IOException {
    out.writeBoolean(value.isPresent());
    out.writeDouble(value.orElse(0));
  }

  private void text(String text) throws IOException {
    String kept = text.length() <= LONGEST_TEXT ? text : text.substring(0, LONGEST_TEXT) + "…";
    byte[] utf8 = kept.getBytes(StandardCharsets.UTF_8);
    out.writeInt(utf8.length);
    out.write(utf8);
  }
}
