package meniscus.recorder.page.http;

import java.util.Optional;
import java.util.regex.Pattern;

/** The names that pages give themselves: drawn by lot, so that none can be guessed. */
public final class Client {

  private static final Pattern FORM = Pattern.compile("[A-Za-z0-9-]{8,64}");

  private Client() {}

  /**
   * @return empty text for a script without a page
   */
  public static String checked(Optional<String> name) throws HttpError {
    if (name.isPresent() && !FORM.matcher(name.get()).matches()) {
      throw HttpError.wrong("\"client\" is 8 to 64 letters, digits and hyphens");
    }
    return name.orElse("");
  }
}
