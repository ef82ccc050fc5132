package meniscus.core.air;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Moist air of the open-source library CoolProp 8.0.0 (a real-gas mixture after ASHRAE RP-1485,
 * none of our equations), 0 to 60 °C, 700 to 1080 hPa, dry to saturated: what our equations are
 * worth outside the range they were published for. The table was written by calling {@code
 * HAPropsSI} for Vha, mu, speed_of_sound, cp_ha and cv_ha.
 *
 * <p>Compared up to 4 % of water vapour, which room air holds at 29 °C and a motor's heat does not
 * add to. In hot saturated air the two go apart (at 60 °C and 700 hPa by 0.05 % in density, 0.6 %
 * in the ratio of specific heats, 9 % in viscosity), where neither is known to be right.
 */
class CoolPropTest {

  record Row(AirState air, double density, double viscosity, double soundSpeed, double kappa) {}

  static Stream<Row> rows() throws IOException {
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(
                CoolPropTest.class.getResourceAsStream("coolprop-8.0.0-air.csv"),
                StandardCharsets.UTF_8))) {
      List<Row> rows = reader.lines().skip(1).map(CoolPropTest::row).collect(Collectors.toList());
      return rows.stream();
    }
  }

  static Stream<Row> benchRows() throws IOException {
    return rows().filter(row -> row.air.vapourFraction() <= 0.04);
  }

  private static Row row(String line) {
    double[] cells = Stream.of(line.split(",")).mapToDouble(Double::parseDouble).toArray();
    return new Row(
        new AirState(cells[0], cells[1], cells[2]), cells[3], cells[4], cells[5], cells[6]);
  }

  @Test
  void theTableIsThere() throws IOException {
    assertEquals(7 * 4 * 3, rows().count());
  }

  @ParameterizedTest
  @MethodSource("benchRows")
  void densityWithin2In10000(Row row) {
    assertEquals(row.density, row.air.density(), row.density * 2e-4);
  }

  @ParameterizedTest
  @MethodSource("rows")
  void densityWithin6In10000EvenSaturatedAt60Degrees(Row row) {
    assertEquals(row.density, row.air.density(), row.density * 6e-4);
  }

  @ParameterizedTest
  @MethodSource("benchRows")
  void viscosityWithinOnePercent(Row row) {
    assertEquals(row.viscosity, row.air.viscosity(), row.viscosity * 1e-2);
  }

  @ParameterizedTest
  @MethodSource("benchRows")
  void speedOfSoundWithinOneInThousand(Row row) {
    assertEquals(row.soundSpeed, row.air.soundSpeed(), row.soundSpeed * 1e-3);
  }

  @ParameterizedTest
  @MethodSource("benchRows")
  void ratioOfSpecificHeatsWithin2InThousand(Row row) {
    assertEquals(row.kappa, row.air.kappa(), row.kappa * 2e-3);
  }
}
