package meniscus.drivers.modbus;

import java.nio.ByteBuffer;
import meniscus.core.instrument.Request;

/** How questions and answers are wrapped: one for RTU, one for TCP. */
interface ModbusWire {

  /** What is to be sent for a question. */
  Request wrap(RegisterRead read);

  /** The line is open, for the first time or again. */
  void opened();

  /** Drops what has come so far. */
  void reset();

  /** Puts in one byte; tells what it made complete. */
  Answer accept(byte b, RegisterRead awaited);

  /** The bytes of what {@link #accept} last told of, or of all that is still incomplete. */
  ByteBuffer seen();

  /** Bytes that came before what {@link #accept} last told of, and belong to nothing. */
  ByteBuffer before();

  /** The last answer's data, for {@link RegisterRead#give}. */
  byte[] bytes();

  /** Where in {@link #bytes} the registers, or the exception's code, begin. */
  int dataFrom();

  /** What a byte made complete. */
  enum Answer {
    /** Nothing yet. */
    INCOMPLETE,
    /** The registers that were asked for. */
    REGISTERS,
    /** An exception to what was asked for. */
    EXCEPTION,
    /** A sound frame, but no answer to what was asked. */
    UNASKED,
    /** Bytes that are no frame. */
    DAMAGED
  }
}
