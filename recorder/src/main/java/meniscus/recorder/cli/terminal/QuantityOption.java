package meniscus.recorder.cli.terminal;

import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** Reads a number with a unit, such as {@code "28 inH2O"}, from the command line. */
public abstract class QuantityOption implements ITypeConverter<Value> {

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

  public static final class Area extends QuantityOption {
    public Area() {
      super(Dimension.AREA);
    }
  }

  public static final class Angle extends QuantityOption {
    public Angle() {
      super(Dimension.ANGLE);
    }
  }

  public static final class Force extends QuantityOption {
    public Force() {
      super(Dimension.FORCE);
    }
  }

  public static final class Length extends QuantityOption {
    public Length() {
      super(Dimension.LENGTH);
    }
  }

  public static final class Mass extends QuantityOption {
    public Mass() {
      super(Dimension.MASS);
    }
  }

  public static final class Pressure extends QuantityOption {
    public Pressure() {
      super(Dimension.PRESSURE);
    }
  }

  public static final class Ratio extends QuantityOption {
    public Ratio() {
      super(Dimension.RATIO);
    }
  }

  public static final class Stiffness extends QuantityOption {
    public Stiffness() {
      super(Dimension.STIFFNESS);
    }
  }

  public static final class Temperature extends QuantityOption {
    public Temperature() {
      super(Dimension.TEMPERATURE);
    }
  }

  public static final class VolumeFlow extends QuantityOption {
    public VolumeFlow() {
      super(Dimension.VOLUME_FLOW);
    }
  }
}
