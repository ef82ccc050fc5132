package meniscus.recorder.upkeep;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import meniscus.core.pipeline.BreakOff;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.SignalJudge;
import meniscus.core.steadiness.Verdict;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.feed.Measuring;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A plate that could not be read: what was not as it should be, and by how much. */
class NoReadingTest {

  private static final double INCH_OF_WATER_PA = 249.08891;
  private static final double AIM_PA = 24 * INCH_OF_WATER_PA;
  private static final String BEGUN = "no reading at 24.000 inH2O on range \"large\" after 165 s: ";

  @TempDir private Path folder;

  private BenchAt at;

  @BeforeEach
  void bench() throws IOException {
    Path file = folder.resolve("bench.json");
    try (InputStream in = getClass().getResourceAsStream("/meniscus/recorder/record/bench.json")) {
      Files.write(file, in.readAllBytes());
    }
    at =
        new BenchAt(
            BenchFile.read(file),
            file,
            Drivers.shipped(),
            Feeds.Simulation.usual(),
            BenchAt.Pace.CAREFUL);
  }

  private String words(double lowInches, double highInches, boolean room, Optional<Judged> judged) {
    return words(lowInches, highInches, room, Optional.empty(), judged);
  }

  private String words(
      double lowInches,
      double highInches,
      boolean room,
      Optional<BreakOff> torn,
      Optional<Judged> judged) {
    return NoReading.words(
        at,
        "large",
        new Measuring.Asked(AIM_PA, 0.05, 12, 45, List.of(), List.of()),
        new Measuring.NotRead(
            165, lowInches * INCH_OF_WATER_PA, highInches * INCH_OF_WATER_PA, room, torn, judged));
  }

  @Test
  void aPressureThatIsNotReachedIsToldWithWhereItLayAndWhereItShould() {
    assertEquals(
        BEGUN
            + "the test pressure lay between 18.000 inH2O and 20.500 inH2O, never within 22.800"
            + " inH2O to 25.200 inH2O: the blower does not reach it",
        words(18, 20.5, true, Optional.empty()));
  }

  @Test
  void aPressureThatSwingsAboutItsBandDidNotRest() {
    assertEquals(
        BEGUN
            + "the test pressure lay between 18.000 inH2O and 27.000 inH2O and did not rest in its"
            + " band",
        words(18, 27, true, Optional.empty()));
  }

  @Test
  void aGaugeThatSentNothingIsNotAPressureThatWandered() {
    assertEquals(
        BEGUN + "the test pressure's gauge sent nothing that could be read",
        words(Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY, true, Optional.empty()));
  }

  @Test
  void anAirStationThatIsSilentIsNamed() {
    assertEquals(
        BEGUN + "the room's air was not read: see that its station sends",
        words(23.9, 24.1, false, Optional.empty()));
  }

  /** Gaps that end every average are not a pressure that does not rest. */
  @Test
  void gapsThatTearEveryAverageAreTold() {
    assertEquals(
        BEGUN
            + "averaging began anew again and again, last because nothing could be read for 2.5 s",
        words(23.9, 24.1, true, Optional.of(new BreakOff.NothingRead(2.5)), Optional.empty()));
  }

  @Test
  void aFlowThatWasTooBrieflySeenIsToldWithItsSeconds() {
    SignalJudge judge = new SignalJudge(JudgeSettings.usual());
    Random random = new Random(1603);
    for (int i = 0; i < 150; i++) {
      judge.sample(i / 50.0, 9e-4 * (1 + 0.01 * random.nextGaussian()));
    }
    String said = words(23.9, 24.1, true, Optional.of(judge.judged()));
    assertTrue(said.startsWith(BEGUN + "the flow is brief: "), said);
    assertTrue(said.contains(" s of usable readings; 20 s are needed"), said);
  }

  @Test
  void aFlowThatIsUnsteadyIsToldWithHowUnsteady() {
    SignalJudge judge = new SignalJudge(JudgeSettings.usual());
    Random random = new Random(1604);
    for (int i = 0; i < 3000; i++) {
      double level = 9e-4 * (i / 150 % 2 == 0 ? 1 : 1.2);
      judge.sample(i / 50.0, level * (1 + 0.01 * random.nextGaussian()));
    }
    Judged judged = judge.judged();
    assertNotEquals(Verdict.STEADY, judged.verdict(), "levels 20 % apart, seed 1604");
    String said = words(23.9, 24.1, true, Optional.of(judged));
    assertTrue(said.startsWith(BEGUN + "the flow is " + judged.verdict().word() + ": "), said);
    assertTrue(said.matches(".*[0-9]+(\\.[0-9])? %.*"), said);
    assertFalse(said.matches(".*([0-9]e-[0-9]|NaN).*"), said);
  }
}
