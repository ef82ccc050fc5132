package meniscus.recorder.file;

import java.util.List;
import java.util.Optional;
import meniscus.core.air.AirState;
import meniscus.core.bench.ChartedElement;
import meniscus.core.bench.FittedElement;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.LinearElement;
import meniscus.core.bench.NozzleElement;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.flow.Expansibility;
import meniscus.core.flow.Tapping;
import meniscus.core.quantity.Dimension;

/** A flow element, by its kind. */
final class ElementForm {

  private static final String ORIFICE = "orifice";
  private static final String NOZZLE = "nozzle";
  private static final String LINEAR = "linear";
  private static final String CHART = "chart";
  private static final String FITTED = "fitted";

  private ElementForm() {}

  static FlowElement read(ObjectReader members) {
    String kind = members.word("kind", List.of(ORIFICE, NOZZLE, LINEAR, CHART, FITTED));
    FlowElement element =
        switch (kind) {
          case ORIFICE -> orifice(members);
          case NOZZLE -> nozzle(members);
          case LINEAR -> linear(members);
          case CHART -> chart(members);
          default -> fitted(members);
        };
    members.done();
    return element;
  }

  static ObjectWriter write(ObjectWriter written, FlowElement element) {
    return element.fold(
        orifice -> write(written, orifice),
        nozzle ->
            written
                .put("kind", NOZZLE)
                .si("throat", nozzle.throatM(), Dimension.LENGTH)
                .put("coefficient", write(written.another(), nozzle.coefficient())),
        linear ->
            written
                .put("kind", LINEAR)
                .si("flow", linear.flowM3PerS(), Dimension.VOLUME_FLOW)
                .si("drop", linear.dropPa(), Dimension.PRESSURE)
                .put("stated_for", AirForm.write(written.another(), linear.statedFor()))
                .si("standard_uncertainty", linear.relativeStandardUncertainty(), Dimension.RATIO),
        chart -> write(written, chart),
        fitted -> write(written, fitted));
  }

  private static OrificeElement orifice(ObjectReader members) {
    double bore = members.si("bore", Dimension.LENGTH);
    double within = members.stepSi("bore_within", Dimension.LENGTH, 0);
    Optional<OrificeElement.Pipe> pipe = members.optional("pipe").map(ElementForm::pipe);
    Expansibility form =
        members.choice("expansibility", Expansibility.class, Expansibility.ISO_2003);
    Optional<StatedCoefficient> stated =
        members.optional("coefficient").map(ElementForm::coefficient);
    return members.made(() -> new OrificeElement(bore, within, pipe, form, stated));
  }

  private static ObjectWriter write(ObjectWriter written, OrificeElement orifice) {
    written
        .put("kind", ORIFICE)
        .si("bore", orifice.boreM(), Dimension.LENGTH)
        .step("bore_within", orifice.boreHalfWidthM(), Dimension.LENGTH);
    orifice
        .pipe()
        .ifPresent(
            pipe ->
                written.put(
                    "pipe",
                    written
                        .another()
                        .si("diameter", pipe.diameterM(), Dimension.LENGTH)
                        .put("tapping", pipe.tapping().word())));
    written.put("expansibility", orifice.form().word());
    orifice
        .stated()
        .ifPresent(stated -> written.put("coefficient", write(written.another(), stated)));
    return written;
  }

  private static OrificeElement.Pipe pipe(ObjectReader members) {
    double diameter = members.si("diameter", Dimension.LENGTH);
    Tapping tapping = members.choice("tapping", Tapping.class);
    members.done();
    return new OrificeElement.Pipe(diameter, tapping);
  }

  private static NozzleElement nozzle(ObjectReader members) {
    double throat = members.si("throat", Dimension.LENGTH);
    StatedCoefficient coefficient = coefficient(members.required("coefficient"));
    return members.made(() -> new NozzleElement(throat, coefficient));
  }

  private static LinearElement linear(ObjectReader members) {
    double flow = members.si("flow", Dimension.VOLUME_FLOW);
    double drop = members.si("drop", Dimension.PRESSURE);
    AirState air = AirForm.read(members.required("stated_for"));
    double uncertainty = members.si("standard_uncertainty", Dimension.RATIO);
    return members.made(() -> new LinearElement(flow, drop, air, uncertainty));
  }

  private static ChartedElement chart(ObjectReader members) {
    List<ChartedElement.Node> nodes = members.list("lines", ElementForm::chartLine);
    AirState air = AirForm.read(members.required("stated_for"));
    double uncertainty = members.si("standard_uncertainty", Dimension.RATIO);
    return members.made(() -> new ChartedElement(nodes, air, uncertainty));
  }

  private static ChartedElement.Node chartLine(ObjectReader members) {
    double drop = members.si("drop", Dimension.PRESSURE);
    double flow = members.si("flow", Dimension.VOLUME_FLOW);
    members.done();
    return members.made(() -> new ChartedElement.Node(drop, flow));
  }

  private static ObjectWriter write(ObjectWriter written, ChartedElement chart) {
    return written
        .put("kind", CHART)
        .list(
            "lines",
            chart.nodes(),
            node ->
                written
                    .another()
                    .si("drop", node.dropPa(), Dimension.PRESSURE)
                    .si("flow", node.flowM3PerS(), Dimension.VOLUME_FLOW))
        .put("stated_for", AirForm.write(written.another(), chart.statedFor()))
        .si("standard_uncertainty", chart.relativeStandardUncertainty(), Dimension.RATIO);
  }

  private static FittedElement fitted(ObjectReader members) {
    FlowElement base = read(members.required("base"));
    List<Double> coefficients = members.numbers("coefficients");
    List<List<Double>> covariance = members.rowsOfNumbers("covariance");
    double reference = members.si("reference_drop", Dimension.PRESSURE);
    double lowest = members.si("lowest_drop", Dimension.PRESSURE);
    double highest = members.si("highest_drop", Dimension.PRESSURE);
    return members.made(
        () -> new FittedElement(base, coefficients, covariance, reference, lowest, highest));
  }

  private static ObjectWriter write(ObjectWriter written, FittedElement fitted) {
    return written
        .put("kind", FITTED)
        .put("base", write(written.another(), fitted.base()))
        .put("coefficients", fitted.coefficients())
        .put("covariance", fitted.covariance())
        .si("reference_drop", fitted.referenceDropPa(), Dimension.PRESSURE)
        .si("lowest_drop", fitted.lowestDropPa(), Dimension.PRESSURE)
        .si("highest_drop", fitted.highestDropPa(), Dimension.PRESSURE);
  }

  private static StatedCoefficient coefficient(ObjectReader members) {
    double value = members.number("value");
    double uncertainty = members.si("standard_uncertainty", Dimension.RATIO);
    members.done();
    return members.made(() -> new StatedCoefficient(value, uncertainty));
  }

  private static ObjectWriter write(ObjectWriter written, StatedCoefficient stated) {
    return written
        .put("value", stated.value())
        .si("standard_uncertainty", stated.relativeStandardUncertainty(), Dimension.RATIO);
  }
}
