package meniscus.recorder.cli.figure;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import meniscus.core.quantity.Text;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.json.JsonOut;

/** What {@code figure} found: members for another program, lines for a person. */
final class FigureAnswer {

  private final ObjectNode json = JsonOut.object();
  private final Map<String, String> lines = new LinkedHashMap<>();
  private final List<String> remarks = new ArrayList<>();

  /** A member, printed as well under a label; {@code format} as in {@link String#format}. */
  FigureAnswer with(String member, double value, String label, String format) {
    json.put(member, value);
    return line(label, Text.of(format, value));
  }

  /** A member that no equation gives here: null, and the reason under its label. */
  FigureAnswer unknown(String member, String label, String why) {
    json.putNull(member);
    return line(label, "not known: " + why);
  }

  /** A member that is not printed. */
  FigureAnswer with(String member, double value) {
    json.put(member, value);
    return this;
  }

  FigureAnswer with(String member, int value) {
    json.put(member, value);
    return this;
  }

  FigureAnswer with(String member, boolean value) {
    json.put(member, value);
    return this;
  }

  FigureAnswer with(String member, String value) {
    json.put(member, value);
    return this;
  }

  /** A member that is an object, to be filled. */
  ObjectNode object(String member) {
    return json.putObject(member);
  }

  /** A line that is printed only. */
  FigureAnswer line(String label, String text) {
    lines.put(label, text);
    return this;
  }

  FigureAnswer remark(String remark) {
    remarks.add(remark);
    return this;
  }

  FigureAnswer remarks(List<String> more) {
    remarks.addAll(more);
    return this;
  }

  ObjectNode json() {
    ObjectNode whole = json.deepCopy();
    remarks.forEach(whole.putArray("remarks")::add);
    return whole;
  }

  void print(Console console) {
    int width = lines.keySet().stream().mapToInt(String::length).max().orElse(0);
    lines.forEach((label, text) -> console.say(Text.of("%-" + width + "s  %s", label, text)));
    remarks.forEach(remark -> console.warn("note: " + remark));
  }
}
