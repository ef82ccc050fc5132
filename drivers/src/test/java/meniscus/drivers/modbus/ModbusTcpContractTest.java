package meniscus.drivers.modbus;

import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentDriverContract;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Transcript;
import meniscus.core.time.Moment;

class ModbusTcpContractTest extends InstrumentDriverContract {
  @Override
  protected InstrumentDriver driver() {
    return new ModbusTcpDriver();
  }

  @Override
  protected InstrumentSheet sheet() {
    return ModbusTest.specificationSheet("modbus-tcp");
  }

  @Override
  protected Transcript transcript() {
    return Transcript.empty()
        .at(Moment.ofSeconds(0.01), ModbusTest.header(1, 1, 3, 6, 2, 0x2b, 0, 0, 0, 0x64))
        .at(Moment.ofSeconds(0.02), ModbusTest.header(2, 1, 4, 2, 0, 10))
        .at(Moment.ofSeconds(1.01), ModbusTest.header(3, 1, 0x83, 2))
        .at(Moment.ofSeconds(1.02), ModbusTest.header(4, 1, 4, 2, 0, 10));
  }
}
