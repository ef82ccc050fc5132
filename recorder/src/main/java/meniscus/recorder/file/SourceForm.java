package meniscus.recorder.file;

import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Source;
import meniscus.core.quantity.Dimension;
import meniscus.core.refusal.Refusal;
import meniscus.core.settle.GaugeTransfer;

/** Where a value comes from: a channel of an instrument with its data sheet, or typed. */
final class SourceForm {

  private SourceForm() {}

  static Source read(ObjectReader members, Dimension dimension) {
    return members.has("typed") ? typed(members, dimension) : measured(members, dimension);
  }

  private static Source typed(ObjectReader members, Dimension dimension) {
    double value = members.si("typed", dimension);
    if (!members.has("within")) {
      throw new Refusal(
          members.where()
              + ": \"within\" is missing; say how far off the typed value may be at most");
    }
    double within = members.stepSi("within", dimension, 0);
    members.done();
    return members.made(() -> new Source.Typed(value, within));
  }

  static Source.Measured measured(ObjectReader members, Dimension dimension) {
    String instrument = members.text("instrument");
    String channel = members.text("channel");
    double low = members.si("low", dimension);
    double high = members.si("high", dimension);
    Accuracy accuracy = accuracy(members.required("accuracy"), dimension);
    double mean = members.stepSi("mean", Dimension.TIME, 0);
    double lag = members.stepSi("lag", Dimension.TIME, 0);
    boolean inverted = members.yes("inverted", false);
    members.done();
    return members.made(
        () ->
            new Source.Measured(
                instrument, channel, low, high, accuracy, new GaugeTransfer(mean, lag), inverted));
  }

  private static Accuracy accuracy(ObjectReader members, Dimension dimension) {
    double ofReading = members.stepSi("of_reading", Dimension.RATIO, 0);
    double absolute = members.stepSi("absolute", dimension, 0);
    double quantum = members.stepSi("quantum", dimension, 0);
    members.done();
    return members.made(() -> new Accuracy(ofReading, absolute, quantum));
  }

  static ObjectWriter write(ObjectWriter written, Source source, Dimension dimension) {
    return source.fold(
        measured -> write(written, measured, dimension),
        typed ->
            written
                .si("typed", typed.valueSi(), dimension)
                .put("within", written.stepText(typed.halfWidthSi(), dimension)));
  }

  static ObjectWriter write(ObjectWriter written, Source.Measured gauge, Dimension dimension) {
    Accuracy accuracy = gauge.accuracy();
    return written
        .put("instrument", gauge.instrument())
        .put("channel", gauge.channel())
        .si("low", gauge.lowSi(), dimension)
        .si("high", gauge.highSi(), dimension)
        .put(
            "accuracy",
            written
                .another()
                .step("of_reading", accuracy.ofReading(), Dimension.RATIO)
                .step("absolute", accuracy.absoluteSi(), dimension)
                .step("quantum", accuracy.quantumSi(), dimension)
                .members())
        .step("mean", gauge.transfer().meanSeconds(), Dimension.TIME)
        .step("lag", gauge.transfer().lagSeconds(), Dimension.TIME)
        .unless(false, "inverted", gauge.inverted());
  }
}
