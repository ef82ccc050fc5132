package meniscus.drivers.modbus;

import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;

class ModbusRtuContractTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new ModbusRtuDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return ModbusTest.specificationSheet("modbus-rtu");
  }

  @Override
  protected Transcript transcript() {
    byte[] answer = ModbusTest.withCrc(1, 3, 6, 2, 0x2b, 0, 0, 0, 0x64);
    byte[] other = ModbusTest.withCrc(1, 4, 2, 0, 10);
    byte[] noisy = new byte[answer.length + 3];
    System.arraycopy(answer, 0, noisy, 3, answer.length);
    return Transcript.empty()
        .at(Moment.ofSeconds(0.01), noisy)
        .at(Moment.ofSeconds(0.02), other)
        .at(Moment.ofSeconds(1.01), ModbusTest.withCrc(1, 0x83, 2))
        .at(Moment.ofSeconds(1.02), other)
        .at(Moment.ofSeconds(2.01), answer);
  }
}
