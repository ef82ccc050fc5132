package meniscus.drivers.modbus;

import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;

/** Modbus RTU instruments, taught by a sheet: docs/instrument-sheets.md. */
public final class ModbusRtuDriver implements InstrumentDriver {

  @Override
  public String id() {
    return "modbus-rtu";
  }

  @Override
  public String summary() {
    return "Modbus RTU registers over a serial line, taught by a sheet";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public List<Channel> channels(InstrumentSheet sheet) {
    return newDecoder(sheet).channels();
  }

  @Override
  public ModbusDecoder newDecoder(InstrumentSheet sheet) {
    return new ModbusDecoder(sheet, new RtuWire());
  }
}
