"""A Modbus RTU slave of the pymodbus library on one serial port.

Holding register n holds 1000 + n for n below 50; input register n holds -n. All other addresses
are answered by exception 2. Usage: modbus_slave.py PORT
"""
import sys

from pymodbus.datastore import (
    ModbusSequentialDataBlock,
    ModbusServerContext,
    ModbusSlaveContext,
)
from pymodbus.server import StartSerialServer
from pymodbus.transaction import ModbusRtuFramer

registers = ModbusSlaveContext(
    hr=ModbusSequentialDataBlock(0, [1000 + n for n in range(50)]),
    ir=ModbusSequentialDataBlock(0, [-n & 0xFFFF for n in range(50)]),
    zero_mode=True,
)
StartSerialServer(
    context=ModbusServerContext(slaves={7: registers}, single=False),
    framer=ModbusRtuFramer,
    port=sys.argv[1],
    baudrate=19200,
)
