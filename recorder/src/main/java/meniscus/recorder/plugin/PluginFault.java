package meniscus.recorder.plugin;

import java.util.ServiceConfigurationError;

/** A plugin cannot be used. The message is for people: what it did, and what to do. */
class PluginFault extends RuntimeException {

  private static final long serialVersionUID = 1L;

  private static final int LONGEST = 300;

  PluginFault(String message) {
    super(message);
  }

  /**
   * @param doing what the plugin was asked
   * @param thrown what it threw instead; its methods are not trusted either
   */
  static PluginFault of(String doing, Throwable thrown) {
    if (thrown instanceof PluginFault known) {
      return known;
    }
    if (thrown instanceof StackOverflowError) {
      return new PluginFault("runs out of stack in " + doing);
    }
    if (thrown instanceof OutOfMemoryError) {
      return new PluginFault("runs out of memory in " + doing);
    }
    if (thrown instanceof UnsupportedClassVersionError) {
      return new PluginFault("is compiled for a newer Java than this one: " + said(thrown));
    }
    if (thrown instanceof NoClassDefFoundError || thrown instanceof ClassNotFoundException) {
      return new PluginFault(
          "a class is missing in "
              + doing
              + ": "
              + said(thrown).replace('/', '.')
              + "; does the jar hold everything it needs?");
    }
    boolean wrapped =
        thrown instanceof ServiceConfigurationError
            || thrown instanceof ExceptionInInitializerError;
    if (wrapped && thrown.getCause() != null) {
      return of(doing, thrown.getCause());
    }
    return new PluginFault(doing + " throws " + thrown.getClass().getName() + ": " + said(thrown));
  }

  /** Its message, cut and harmless. */
  static String said(Throwable thrown) {
    try {
      return harmless(String.valueOf(thrown.getMessage()));
    } catch (Throwable evenThat) {
      return "(its message cannot be read)";
    }
  }

  /** One line without control characters: a plugin must not paint on the operator's terminal. */
  static String harmless(String text) {
    String cut = text.length() > LONGEST ? text.substring(0, LONGEST) + "…" : text;
    return cut.replaceAll("[\\p{Cntrl}\\p{Zl}\\p{Zp}]+", " ");
  }
}
