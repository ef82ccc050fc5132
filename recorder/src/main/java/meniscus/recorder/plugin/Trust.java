package meniscus.recorder.plugin;

import java.nio.file.Path;
import java.util.Optional;

/** Which jars may run: looking into a jar runs its code already. */
@FunctionalInterface
public interface Trust {

  /** Every jar, as where somebody has looked at them all before. */
  Trust IN_ALL = jar -> Optional.empty();

  /** Why a jar must not be looked into; empty when it may. */
  Optional<String> refusal(Path jar);
}
