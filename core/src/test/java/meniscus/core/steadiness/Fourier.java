package meniscus.core.steadiness;

/** Plain radix-2 Fourier sums (Cooley and Tukey 1965), for made signals only. */
final class Fourier {

  private Fourier() {}

  /** In place: Σ x_k exp(2πi jk/n); the length is a power of two. */
  static void transform(double[] re, double[] im) {
    int n = re.length;
    for (int i = 1, j = 0; i < n; i++) {
      int bit = n >> 1;
      for (; (j & bit) != 0; bit >>= 1) {
        j ^= bit;
      }
      j ^= bit;
      if (i < j) {
        double t = re[i];
        re[i] = re[j];
        re[j] = t;
        t = im[i];
        im[i] = im[j];
        im[j] = t;
      }
    }
    for (int length = 2; length <= n; length *= 2) {
      double angle = 2 * Math.PI / length;
      for (int k = 0; k < length / 2; k++) {
        double c = Math.cos(angle * k);
        double s = Math.sin(angle * k);
        for (int i = k; i < n; i += length) {
          int j = i + length / 2;
          double a = re[j] * c - im[j] * s;
          double b = re[j] * s + im[j] * c;
          re[j] = re[i] - a;
          im[j] = im[i] - b;
          re[i] += a;
          im[i] += b;
        }
      }
    }
  }
}
