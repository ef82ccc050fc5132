package meniscus.core.uncertainty;

/** Names of errors that are met again elsewhere, and how far they are known by their name. */
public final class SharedId {

  private static final String CERTIFICATE = "certificate ";

  private SharedId() {}

  /** What the plates of one certificate have in common. */
  public static String ofCertificate(String origin, String number) {
    return CERTIFICATE + origin + " " + number;
  }

  /**
   * The same error as between two runs.
   *
   * @param sameBench both runs were taken on one bench, unchanged in between
   * @param run name that no other run has
   * @return the contribution as it is where the other run has this very error too, else under a
   *     name of its run's own
   */
  public static Contribution between(Contribution c, boolean sameBench, String run) {
    boolean met =
        c.kind() == Contribution.Kind.SYSTEMATIC
            && (sameBench || c.sharedId().startsWith(CERTIFICATE));
    return c.sharedId().isEmpty() || met ? c : named(c, run);
  }

  /**
   * The same error among runs on several benches: a systematic one is met by every run of its
   * bench, what plates of one certificate have in common by all benches, any other by its own run.
   *
   * @param bench name that no other bench has
   * @param run name that no other run has
   */
  public static Contribution among(Contribution c, String bench, String run) {
    return between(
        c.kind() == Contribution.Kind.SYSTEMATIC && !c.sharedId().startsWith(CERTIFICATE)
            ? named(c, bench)
            : c,
        c.kind() == Contribution.Kind.SYSTEMATIC,
        run);
  }

  private static Contribution named(Contribution c, String owner) {
    return c.sharedId().isEmpty()
        ? c
        : new Contribution(
            c.source(),
            c.kind(),
            c.standardUncertainty(),
            c.degreesOfFreedom(),
            c.sensitivity(),
            owner + ": " + c.sharedId());
  }
}
