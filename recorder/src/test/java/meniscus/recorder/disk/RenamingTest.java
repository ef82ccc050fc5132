package meniscus.recorder.disk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** A scanner that has the file open, as Windows tells it; written for it, not tried there. */
class RenamingTest {

  private final List<Long> waited = new ArrayList<>();
  private int tried;

  @Test
  void aFileThatAScannerLetsGoIsRenamed() throws IOException {
    Renaming.patiently(
        () -> {
          if (++tried < 8) {
            throw tried % 2 == 0
                ? new AccessDeniedException("points.csv")
                : new FileSystemException("points.csv", null, "in use by another process");
          }
        },
        waited::add);
    assertEquals(8, tried);
    assertEquals(7, waited.size());
  }

  @Test
  void aFileThatASpreadsheetKeepsOpenIsToldAfterASecond() {
    AccessDeniedException held = new AccessDeniedException("points.csv");
    AccessDeniedException told =
        assertThrows(
            AccessDeniedException.class,
            () ->
                Renaming.patiently(
                    () -> {
                      throw held;
                    },
                    waited::add));
    assertEquals(held, told);
    long all = waited.stream().mapToLong(Long::longValue).sum();
    assertTrue(all >= 900 && all <= 1500, "waited " + all + " ms");
  }

  @Test
  void whatCannotGetBetterIsToldAtOnce() {
    for (IOException lasting :
        List.of(new NoSuchFileException("points.csv"), new IOException("the disk is gone"))) {
      assertThrows(
          lasting.getClass(),
          () ->
              Renaming.patiently(
                  () -> {
                    throw lasting;
                  },
                  waited::add));
    }
    assertEquals(List.of(), waited);
  }

  @Test
  void whoeverIsInterruptedMeanwhileIsToldWhyAndStaysInterrupted() {
    assertThrows(
        AccessDeniedException.class,
        () ->
            Renaming.patiently(
                () -> {
                  throw new AccessDeniedException("points.csv");
                },
                pause -> {
                  throw new InterruptedException();
                }));
    assertTrue(Thread.interrupted());
  }
}
