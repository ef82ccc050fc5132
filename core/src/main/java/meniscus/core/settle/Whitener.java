package meniscus.core.settle;

/**
 * What of block means a noise shape could not foresee: white, of variance 1 if the shape is right.
 */
public final class Whitener {

  private final NoiseShape shape;
  private final double blockSeconds;
  private final int readings;

  public Whitener(NoiseShape shape, double blockSeconds, int readings) {
    this.shape = shape;
    this.blockSeconds = blockSeconds;
    this.readings = readings;
  }

  /**
   * @param blocks block means about zero; NaN for missing ones
   * @return the innovations over their expected standard deviation; NaN for missing ones
   */
  public double[] whiten(double[] blocks) {
    LevelFilter filter = new LevelFilter(new BlockNoise(shape, blockSeconds, readings), 0);
    double[] white = new double[blocks.length];
    double[] values = {0, 1};
    for (int i = 0; i < blocks.length; i++) {
      if (Double.isNaN(blocks[i])) {
        filter.skip();
        white[i] = Double.NaN;
      } else {
        values[0] = blocks[i];
        filter.step(values);
        white[i] = filter.innovation[0] / Math.sqrt(filter.variance());
      }
    }
    return white;
  }
}
