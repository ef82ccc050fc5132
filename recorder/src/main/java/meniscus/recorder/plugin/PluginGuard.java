package meniscus.recorder.plugin;

import java.util.Objects;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.Supplier;
import meniscus.core.refusal.Refusal;

/**
 * Calls into a plugin, each on a thread of its own that is left behind when it does not come back:
 * a loop that ignores interrupts cannot be ended within one process.
 */
record PluginGuard(ClassLoader classes, long patienceMs) {
  /** Far longer than any honest answer takes, on a loaded machine too [ms]. */
  static final long PATIENCE_MS = 5_000;

  /** Something that may throw anything. */
  interface Call<T> {
    T run() throws Exception;
  }

  private static final class SettingsRefused extends PluginFault {
    private static final long serialVersionUID = 1L;

    SettingsRefused(String words) {
      super(words);
    }
  }

  /**
   * @param doing what is asked, for messages; asked for when something goes wrong
   * @throws PluginFault when the call throws or does not come back in time
   */
  <T> T call(Supplier<String> doing, Call<T> call) {
    CompletableFuture<T> answer = new CompletableFuture<>();
    Thread thread = new Thread(() -> run(doing, call, answer), "plugin");
    thread.setDaemon(true);
    thread.setContextClassLoader(classes);
    thread.start();
    try {
      return answer.get(patienceMs, TimeUnit.MILLISECONDS);
    } catch (ExecutionException e) {
      throw (PluginFault) e.getCause();
    } catch (TimeoutException e) {
      throw new PluginFault("does not come back from " + doing.get());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new PluginFault("interrupted in " + doing.get());
    }
  }

  /**
   * The same for a question about somebody's settings: settings that do not fit are their writer's
   * fault, not the plugin's, and are said in the plugin's own words.
   *
   * @throws Refusal when the settings do not fit
   */
  <T> T askedAboutSettings(String doing, Call<T> call) {
    try {
      return call(
          () -> doing,
          () -> {
            try {
              return Objects.requireNonNull(call.run(), "null");
            } catch (Refusal doNotFit) {
              throw new SettingsRefused(PluginFault.said(doNotFit));
            }
          });
    } catch (SettingsRefused refused) {
      throw new Refusal(refused.getMessage(), refused);
    }
  }

  private static <T> void run(Supplier<String> doing, Call<T> call, CompletableFuture<T> answer) {
    try {
      answer.complete(call.run());
    } catch (Throwable thrown) {
      answer.completeExceptionally(PluginFault.of(doing.get(), thrown));
    }
  }
}
