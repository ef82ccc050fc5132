package meniscus.drivers.simulated;

/**
 * One channel of the manometer: ((pressure + offset + drift)(1 + gain) + noise) to the quantum.
 *
 * @param offsetPa what it shows at zero [Pa]
 * @param driftPa standard deviation of the zero's drift [Pa]
 * @param driftS its correlation time [s]
 * @param gainError [1]
 * @param lagS time constant of gauge and tubing [s]
 * @param noisePa standard deviation of a reading [Pa]
 * @param quantumPa smallest step [Pa]; the line's third decimal is 0.249 Pa
 * @param rangePa beyond ± this it shows none [Pa]
 * @param tapTurbulence relative standard deviation of the pressure at the tap [1]
 * @param tapTurbulenceS its correlation time [s]
 */
public record Gauge(
    double offsetPa,
    double driftPa,
    double driftS,
    double gainError,
    double lagS,
    double noisePa,
    double quantumPa,
    double rangePa,
    double tapTurbulence,
    double tapTurbulenceS) {}
