package meniscus.core.quantity;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/**
 * NIST Special Publication 811 (2008), appendix B.8 and B.9, as transcribed in public material: how
 * many SI units one of each unit is. Definitions are exact.
 */
class NistSp811Test {

  private static void is(double si, String one, Dimension dimension, double tolerance) {
    assertEquals(si, Value.si(one, dimension), tolerance, one);
  }

  @Test
  void inchesOfWaterNameTheirTemperature() {
    is(249.0889, "1 inH2O", Dimension.PRESSURE, 5e-5);
    is(249.082, "1 inH2O(39.2degF)", Dimension.PRESSURE, 5e-4);
    is(248.84, "1 inH2O(60degF)", Dimension.PRESSURE, 5e-3);
    // No row in SP 811; 248.64 is the usual printed value (from memory), of water of 998.2067 kg/m³
    // (Tanaka et al., Metrologia 38 (2001) 301, from memory).
    is(248.64, "1 inH2O(68degF)", Dimension.PRESSURE, 5e-3);
    is(998.2067 * 9.80665 * 0.0254, "1 inH2O(20degC)", Dimension.PRESSURE, 1e-6);
    is(6974.489, "28 inH2O", Dimension.PRESSURE, 1e-3);
  }

  @Test
  void otherPressures() {
    is(3386.389, "1 inHg", Dimension.PRESSURE, 5e-4);
    is(133.3224, "1 mmHg", Dimension.PRESSURE, 5e-5);
    is(9.80665, "1 mmH2O", Dimension.PRESSURE, 1e-12);
    is(6894.757, "1 psi", Dimension.PRESSURE, 5e-4);
    is(101_325, "1 atm", Dimension.PRESSURE, 0);
    is(1e5, "1 bar", Dimension.PRESSURE, 0);
  }

  @Test
  void flowsLengthsForcesAndDensities() {
    is(4.719474e-4, "1 cfm", Dimension.VOLUME_FLOW, 5e-11);
    is(0.0254, "1 in", Dimension.LENGTH, 0);
    is(0.3048, "1 ft", Dimension.LENGTH, 0);
    is(6.4516e-4, "1 in2", Dimension.AREA, 1e-18);
    is(0.02831685, "1 ft3", Dimension.VOLUME, 5e-9);
    is(4.448222, "1 lbf", Dimension.FORCE, 5e-7);
    is(175.1268, "1 lbf/in", Dimension.STIFFNESS, 5e-5);
    is(16.01846, "1 lb/ft3", Dimension.DENSITY, 5e-6);
    is(0.45359237, "0.45359237 kg", Dimension.MASS, 0);
  }

  @Test
  void temperatures() {
    is(273.15, "0 degC", Dimension.TEMPERATURE, 1e-12);
    is(273.15, "32 degF", Dimension.TEMPERATURE, 1e-10);
    is(294.2611, "70 degF", Dimension.TEMPERATURE, 5e-5);
  }

  /** Nothing is converted by one road and read back by another. */
  @Test
  void everyUnitReadsBackWhatItWrote() {
    for (Dimension dimension : Dimension.values()) {
      for (Unit unit : Unit.of(dimension)) {
        for (double number : new double[] {28, 0.0123456789, -7.5}) {
          Value read = Value.parse(new Value(number, unit).toString(), dimension);
          assertEquals(number, read.number(), 0, unit.symbol());
          assertEquals(unit, read.unit());
          double there = unit.fromSi(unit.toSi(number));
          assertEquals(number, there, 1e-9 * Math.max(1, Math.abs(number)), unit.symbol());
        }
      }
    }
  }

  @Test
  void aNumberWithoutAUnitOrWithTheWrongOneIsRefused() {
    for (String text : new String[] {"28", "28 cfm", "28 inHO", "twenty inH2O", ""}) {
      String message =
          assertThrows(IllegalArgumentException.class, () -> Value.si(text, Dimension.PRESSURE))
              .getMessage();
      assertTrue(message.length() > 15, message);
    }
  }
}
