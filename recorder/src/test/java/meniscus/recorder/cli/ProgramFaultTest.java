package meniscus.recorder.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.util.function.Supplier;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.self.LogFile;
import org.junit.jupiter.api.Test;

/** A programming error is not told as if the operator could do something about it. */
class ProgramFaultTest {

  private static final String[] ASKED = {
    "figure", "air", "--temperature", "20 degC", "--pressure", "1013 hPa", "--humidity", "50%"
  };

  @Test
  void anErrorInsideTheProgramHasItsOwnExitCodeAndItsPlaceIsInTheLog() throws IOException {
    Called called = failing(() -> new IllegalArgumentException("fromIndex(4) > toIndex(3)"));
    assertEquals(ExitCode.PROGRAM_FAULT, called.code(), called.err());
    assertTrue(called.err().contains("fault in the program"), called.err());
    assertTrue(called.err().contains(LogFile.own().path().toString()), called.err());
    assertFalse(called.err().contains("\tat "), called.err());
    String log = Files.readString(LogFile.own().path());
    assertTrue(log.contains("fromIndex(4) > toIndex(3)"), log);
    assertTrue(log.contains("at meniscus.recorder.cli.figure.FigureCommand"), log);
  }

  @Test
  void soDoesOneThatJavaItselfThrows() {
    Called called = failing(() -> new StackOverflowError());
    assertEquals(ExitCode.PROGRAM_FAULT, called.code(), called.err());
  }

  @Test
  void whatAPersonCanPutRightIsSaidWithoutTheWordFault() {
    Called called =
        Called.with(
            "figure",
            "air",
            "--temperature",
            "900 degC",
            "--pressure",
            "1013 hPa",
            "--humidity",
            "50%");
    assertEquals(ExitCode.WRONG_USAGE, called.code());
    assertTrue(called.err().contains("temperature"), called.err());
    assertFalse(called.err().contains("fault"), called.err());
  }

  private static Called failing(Supplier<Throwable> thrown) {
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    PrintStream broken =
        new PrintStream(OutputStream.nullOutputStream(), true, StandardCharsets.UTF_8) {
          @Override
          public void println(String line) {
            Throwable fault = thrown.get();
            if (fault instanceof Error error) {
              throw error;
            }
            throw (RuntimeException) fault;
          }
        };
    int code =
        MeniscusCommand.run(
            broken,
            new PrintStream(err, true, StandardCharsets.UTF_8),
            InputStream.nullInputStream(),
            ASKED);
    return new Called(code, "", err.toString(StandardCharsets.UTF_8));
  }
}
