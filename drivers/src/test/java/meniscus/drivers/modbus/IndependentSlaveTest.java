package meniscus.drivers.modbus;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.digitalpetri.modbus.pdu.ReadHoldingRegistersRequest;
import com.digitalpetri.modbus.pdu.ReadHoldingRegistersResponse;
import com.digitalpetri.modbus.server.ModbusRequestContext;
import com.digitalpetri.modbus.server.ModbusRtuServer;
import com.digitalpetri.modbus.server.ModbusServer;
import com.digitalpetri.modbus.server.ModbusServices;
import com.digitalpetri.modbus.server.ModbusTcpServer;
import com.digitalpetri.modbus.tcp.server.NettyRtuServerTransport;
import com.digitalpetri.modbus.tcp.server.NettyTcpServerTransport;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Settings;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.drivers.sheet.SheetJson;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;

/**
 * Against a slave of a library that knows nothing of this program (digitalpetri modbus 2.1.4). Its
 * RTU exceptions carry a checksum of the unit's address alone (01 84 01 7E 80), and are rightly no
 * answer here; so exceptions are tried over TCP only.
 */
class IndependentSlaveTest {

  private static final int ROUNDS = 50;
  private static final String INPUT_REGISTER =
      ",{'function': 4, 'channels': [{'name': 'c', 'unit': 'Pa', 'type': 'int16'}]}";

  @Test
  void overTcp() throws Exception {
    int port = freePort();
    ModbusServer slave =
        ModbusTcpServer.create(
            NettyTcpServerTransport.create(to -> to.setBindAddress("127.0.0.1").setPort(port)),
            new Registers());
    slave.start();
    try {
      readRounds("modbus-tcp", tcp(port));
    } finally {
      slave.stop();
    }
  }

  @Test
  void rtuFramesOverTcp() throws Exception {
    int port = freePort();
    ModbusServer slave = rtuSlave(port);
    try {
      readRounds("modbus-rtu", tcp(port));
    } finally {
      slave.stop();
    }
  }

  @Test
  @EnabledOnOs(value = OS.LINUX, disabledReason = "pseudo-terminals are made the Linux way here")
  void rtuFramesOverASerialPort() throws Exception {
    int port = freePort();
    ModbusServer slave = rtuSlave(port);
    try (PseudoTerminal wire = PseudoTerminal.open();
        Socket socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
      Thread there =
          pump(
              () ->
                  socket
                      .getOutputStream()
                      .write(wire.read(50).getBytes(StandardCharsets.ISO_8859_1)));
      byte[] bytes = new byte[300];
      Thread back =
          pump(
              () -> {
                int count = socket.getInputStream().read(bytes);
                wire.write(new String(bytes, 0, count, StandardCharsets.ISO_8859_1));
              });
      readRounds("modbus-rtu", new Settings("t", Map.of("kind", "serial", "port", wire.path())));
      there.interrupt();
      back.interrupt();
    } finally {
      slave.stop();
    }
  }

  private static void readRounds(String driver, Settings line) throws Exception {
    boolean rtu = driver.equals("modbus-rtu");
    InstrumentSheet sheet =
        SheetJson.sheet(
            driver,
            "{'every_s': 0, 'timeout_s': 5, 'reads': ["
                + "{'address': 4, 'count': 3, 'channels': ["
                + "{'name': 'a', 'unit': 'Pa', 'register': 4, 'type': 'uint16'},"
                + "{'name': 'b', 'unit': 'Pa', 'register': 5, 'type': 'uint32'}]}"
                + (rtu ? "" : INPUT_REGISTER)
                + "]}");
    LinkedBlockingQueue<String> heard = new LinkedBlockingQueue<>();
    Decoder decoder =
        rtu ? new ModbusRtuDriver().newDecoder(sheet) : new ModbusTcpDriver().newDecoder(sheet);
    try (LineReader reader =
        LineReader.start(
            Lines.opener(line), () -> new Moment(System.nanoTime()), new Host(decoder, heard))) {
      for (int round = 0; round < ROUNDS; round++) {
        assertEquals("0=1004.0", heard.poll(20, TimeUnit.SECONDS));
        assertEquals("1=" + (1005.0 * 65536 + 1006), heard.poll(20, TimeUnit.SECONDS));
        if (!rtu) {
          String exception = heard.poll(20, TimeUnit.SECONDS);
          assertTrue(String.valueOf(exception).contains("exception 1, illegal"), exception);
        }
      }
      assertTrue(!reader.join(1));
    }
  }

  /** Register n holds 1000 + n; only holding registers are known. */
  private static final class Registers implements ModbusServices {
    @Override
    public ReadHoldingRegistersResponse readHoldingRegisters(
        ModbusRequestContext context, int unitId, ReadHoldingRegistersRequest request) {
      ByteBuffer registers = ByteBuffer.allocate(2 * request.quantity());
      for (int i = 0; i < request.quantity(); i++) {
        registers.putShort((short) (1000 + request.address() + i));
      }
      return new ReadHoldingRegistersResponse(registers.array());
    }
  }

  /** Something that may fail because its line is being closed. */
  private interface Step {
    void run() throws Exception;
  }

  private static Thread pump(Step step) {
    Thread thread =
        new Thread(
            () -> {
              try {
                while (!Thread.currentThread().isInterrupted()) {
                  step.run();
                }
              } catch (Exception closed) {
                Thread.currentThread().interrupt();
              }
            });
    thread.setDaemon(true);
    thread.start();
    return thread;
  }

  private static ModbusServer rtuSlave(int port) throws Exception {
    ModbusServer slave =
        ModbusRtuServer.create(
            NettyRtuServerTransport.create(to -> to.setBindAddress("127.0.0.1").setPort(port)),
            new Registers());
    slave.start();
    return slave;
  }

  private static Settings tcp(int port) {
    return new Settings("t", Map.of("kind", "tcp", "host", "127.0.0.1", "port", port));
  }

  private static int freePort() throws Exception {
    try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return server.getLocalPort();
    }
  }
}
