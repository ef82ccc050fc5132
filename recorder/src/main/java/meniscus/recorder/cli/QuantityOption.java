package meniscus.recorder.cli;

import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** Reads a number with a unit, such as {@code "28 inH2O"}, from the command line. */
abstract class QuantityOption implements ITypeConverter<Value> {

  private final Dimension dimension;

  private QuantityOption(Dimension dimension) {
    this.dimension = dimension;
  }

  @Override
  public Value convert(String text) {
    try {
      return Value.parse(text, dimension);
    } catch (Refusal e) {
      throw new TypeConversionException(e.getMessage());
    }
  }

  static final class Area extends QuantityOption {
    Area() {
      super(Dimension.AREA);
    }
  }

  static final class Angle extends QuantityOption {
    Angle() {
      super(Dimension.ANGLE);
    }
  }

  static final class Force extends QuantityOption {
    Force() {
      super(Dimension.FORCE);
    }
  }

  static final class Length extends QuantityOption {
    Length() {
      super(Dimension.LENGTH);
    }
  }

  static final class Mass extends QuantityOption {
    Mass() {
      super(Dimension.MASS);
    }
  }

  static final class Pressure extends QuantityOption {
    Pressure() {
      super(Dimension.PRESSURE);
    }
  }

  static final class Ratio extends QuantityOption {
    Ratio() {
      super(Dimension.RATIO);
    }
  }

  static final class Stiffness extends QuantityOption {
    Stiffness() {
      super(Dimension.STIFFNESS);
    }
  }

  static final class Temperature extends QuantityOption {
    Temperature() {
      super(Dimension.TEMPERATURE);
    }
  }

  static final class VolumeFlow extends QuantityOption {
    VolumeFlow() {
      super(Dimension.VOLUME_FLOW);
    }
  }
}
