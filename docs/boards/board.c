/*
 * The reference board: two or three analogue pressure transducers, a lift sensor, and over I2C a
 * digital pressure and an air sensor, on an ATmega328P at 16 MHz and 5 V.
 *
 *   make             lines of text, 50 a second, 115200 baud      (sheet board-lines)
 *   make packets     packets, 1000 a second, 1 Mbaud              (sheet board-packets)
 *
 * Transducers and reference hang on one 5 V supply: they are ratiometric, so the supply cancels.
 * README.md has wiring, numbers and limits.
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <stdint.h>
#include <util/crc16.h>

/* ---- what to change for other sensors ------------------------------------------------------- */

#ifndef P1_FULL /* pressure between the two marks below [0.001 inH2O] */
#define P1_FULL 40000
#endif
#ifndef P2_FULL
#define P2_FULL 40000
#endif
#ifndef P3_FULL /* the third: -DP3_FULL=... adds the field P3 */
#define P3_FULL 0
#endif
#ifndef MARK_LOW /* output at no pressure and at full pressure, in thousandths of the supply */
#define MARK_LOW 100 /* 0.5 V of 5 V */
#endif
#ifndef MARK_HIGH
#define MARK_HIGH 900 /* 4.5 V of 5 V */
#endif
#ifndef LIFT_UM /* travel of the potentiometer [0.001 mm]; 0: quadrature scale on D2, D3 */
#define LIFT_UM 25000L
#endif
#ifndef STEP_UM /* one step of the quadrature scale [0.001 mm] */
#define STEP_UM 5L
#endif
#ifndef SUPPLY_MV /* supply of transducers and board */
#define SUPPLY_MV 5000L
#endif

/* A live-zero transducer below or above these shares of the supply is broken off or shorted. */
#define BROKEN (MARK_LOW / 2)
#define BEYOND (1000 - (1000 - MARK_HIGH) / 2)

/* ---- sampling --------------------------------------------------------------------------------
 * A timer interrupt starts each conversion and takes the one before: the sampling is as even as
 * the crystal. A block is one line or packet. */

#ifdef PACKETS
#define TICK_CYCLES 1600 /* 100 us */
#define TICKS 10         /* a block is 1 ms: 3 x 3 conversions and one of the reference */
#define INPUTS 3
#define EACH 3
#define ADC_CLOCK (_BV(ADPS2) | _BV(ADPS1)) /* 250 kHz: a conversion takes 52 us */
#define BAUD_UBRR 1                         /* 1 Mbaud with U2X, exact at 16 MHz */
#else
#define TICK_CYCLES 2500 /* 156.25 us */
#define TICKS 128        /* a block is 20 ms: 4 x 32 conversions */
#define INPUTS 4
#define EACH 32
#define ADC_CLOCK (_BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0)) /* 125 kHz: 104 us */
#define BAUD_UBRR 16 /* 115200 with U2X: +2.1 % at 16 MHz, within what a receiver takes */
#endif

#define BANDGAP 14 /* input 14 is the converter's own 1.1 V */
#define BANDGAP_MV 1100L

static volatile uint16_t sums[INPUTS]; /* of the block that is ready */
static volatile uint16_t reference;    /* last conversion of the 1.1 V */
#ifndef FIRST_BLOCK /* what counting begins with; a test begins near the end */
#define FIRST_BLOCK 0
#endif
static volatile uint16_t block = FIRST_BLOCK; /* its number */
static volatile uint8_t ready;
static volatile int16_t steps; /* of the quadrature scale */

static uint8_t input_at(uint8_t tick) {
#ifdef PACKETS
  return tick == TICKS - 1 ? BANDGAP : tick % 3;
#else
  uint8_t slot = tick & 3;
  return slot < 3 ? slot : (P3_FULL ? 3 : BANDGAP);
#endif
}

ISR(TIMER1_COMPA_vect) {
  static uint8_t tick;          /* whose conversion is to be taken now */
  static uint8_t unusable = 2;  /* blocks: the first conversion after a reset was never made */
  static uint16_t sum[INPUTS];
  uint8_t input = input_at(tick);
  uint16_t value = ADC; /* before the multiplexer is turned */
  if (input == BANDGAP) {
    reference = value;
  } else {
    sum[input] += value;
  }
  if (++tick == TICKS) {
    tick = 0;
    if (unusable) {
      unusable--;
    } else {
      for (uint8_t i = 0; i < INPUTS; i++) {
        sums[i] = sum[i];
      }
      block++;
      ready = 1;
    }
    for (uint8_t i = 0; i < INPUTS; i++) {
      sum[i] = 0;
    }
  }
  ADMUX = _BV(REFS0) | input_at(tick);
  ADCSRA |= _BV(ADSC);
}

#if LIFT_UM == 0
/* Both edges of both tracks; a step that cannot be is not counted. */
ISR(PCINT2_vect) {
  static const int8_t turn[16] = {0, 1, -1, 0, -1, 0, 0, 1, 1, 0, 0, -1, 0, -1, 1, 0};
  static uint8_t before;
  uint8_t now = PIND >> 2 & 3;
  steps += turn[before << 2 | now];
  before = now;
}
#endif

/* ---- sending --------------------------------------------------------------------------------- */

static volatile uint8_t out[128];
static volatile uint8_t out_from, out_to;

ISR(USART_UDRE_vect) {
  if (out_from == out_to) {
    UCSR0B &= ~_BV(UDRIE0);
  } else {
    UDR0 = out[out_from];
    out_from = (out_from + 1) & 127;
  }
}

static void send(uint8_t byte) {
  uint8_t next = (out_to + 1) & 127;
  while (next == out_from) {
    sleep_mode(); /* the receiver is behind: better late than lost */
  }
  out[out_to] = byte;
  out_to = next;
  UCSR0B |= _BV(UDRIE0);
}

#ifndef PACKETS /* packets carry the analogue inputs alone */

static uint8_t check;

static void text(const char *s) {
  for (; *s; s++) {
    check ^= *s;
    send(*s);
  }
}

/* value / 10^places with its sign and that many decimals */
static void number(int32_t value, uint8_t places) {
  char digits[12];
  uint8_t at = sizeof digits;
  uint32_t left = value < 0 ? -value : value;
  digits[--at] = 0;
  for (uint8_t i = 0; i <= places || left; i++) {
    if (i == places && places) {
      digits[--at] = '.';
    }
    digits[--at] = '0' + left % 10;
    left /= 10;
  }
  text(value < 0 ? "-" : "+");
  text(digits + at);
}

/* ---- I2C, by interrupt --------------------------------------------------------------------- */

static struct {
  uint8_t address, writes, reads, at, bytes[6];
  volatile uint8_t busy, good;
} bus;

#define TWI (_BV(TWINT) | _BV(TWEN) | _BV(TWIE))

ISR(TWI_vect) {
  switch (TWSR & 0xf8) {
    case 0x08: /* started */
    case 0x10:
      TWDR = bus.address << 1 | (bus.writes == 0);
      bus.at = 0;
      TWCR = TWI;
      return;
    case 0x18: /* acknowledged */
    case 0x28:
      if (bus.at < bus.writes) {
        TWDR = bus.bytes[bus.at++];
        TWCR = TWI;
        return;
      }
      bus.good = 1;
      break;
    case 0x50: /* a byte came */
      bus.bytes[bus.at++] = TWDR;
      /* falls through */
    case 0x40:
      TWCR = bus.at + 1 < bus.reads ? TWI | _BV(TWEA) : TWI;
      return;
    case 0x58: /* the last byte came */
      bus.bytes[bus.at] = TWDR;
      bus.good = 1;
      break;
    default: /* nobody answers, or the bus is lost */
      break;
  }
  TWCR = _BV(TWINT) | _BV(TWEN) | _BV(TWSTO);
  bus.busy = 0;
}

static void begin(uint8_t address, uint8_t writes, uint8_t reads) {
  bus.address = address;
  bus.writes = writes;
  bus.reads = reads;
  bus.good = 0;
  bus.busy = 1;
  TWCR = TWI | _BV(TWSTA);
}

static void command(uint8_t address, uint16_t word) {
  bus.bytes[0] = word >> 8;
  bus.bytes[1] = word;
  begin(address, 2, 0);
}

/* CRC-8 of these sensors: polynomial 31, begun with FF. */
static uint8_t sound(uint8_t at) {
  uint8_t crc = 0xff;
  for (uint8_t i = at; i < at + 2; i++) {
    crc ^= bus.bytes[i];
    for (uint8_t bit = 0; bit < 8; bit++) {
      crc = crc & 0x80 ? crc << 1 ^ 0x31 : crc << 1;
    }
  }
  return bus.good && crc == bus.bytes[at + 2];
}

#define PRESSURE_SENSOR 0x25 /* SDP810: 60 counts a pascal in its 500 Pa type */
#define AIR_SENSOR 0x44      /* SHT3x: -45 + 175 S / 65535 degC, 100 S / 65535 % */
#define NONE INT32_MIN

static int32_t digital = NONE, temperature = NONE, humidity = NONE;

/* One transfer a block, in a round of one second. */
static void sensors(void) {
  static uint8_t turn;
  static uint8_t asked;
  if (bus.busy) {
    return;
  }
  if (asked == 1) {
    digital = sound(0) ? (int32_t)(int16_t)(bus.bytes[0] << 8 | bus.bytes[1]) * 100 / 60 : NONE;
  } else if (asked == 2) {
    uint8_t good = sound(0) && sound(3);
    uint16_t t = bus.bytes[0] << 8 | bus.bytes[1];
    uint16_t h = bus.bytes[3] << 8 | bus.bytes[4];
    temperature = good ? -4500 + (int32_t)(17500UL * t / 65535) : NONE;
    humidity = good ? (int32_t)(1000UL * h / 65535) : NONE;
  }
  asked = 0;
  turn = turn == 49 ? 0 : turn + 1;
  if (turn == 1 && digital == NONE) {
    command(PRESSURE_SENSOR, 0x3615); /* measure without end, averaged */
  } else if (turn == 2) {
    command(AIR_SENSOR, 0x2400); /* measure once; takes 15 ms */
  } else if (turn == 4) {
    begin(AIR_SENSOR, 0, 6);
    asked = 2;
  } else if (turn != 3 && turn != 0) {
    begin(PRESSURE_SENSOR, 0, 3);
    asked = 1;
  }
}

#endif

/* ---- lines and packets ----------------------------------------------------------------------- */

/* The supply by the converter's own 1.1 V, which is good to about 10 %; 0 while not known. */
static uint8_t supply_is_right(uint16_t counts) {
  if (P3_FULL || counts == 0) {
    return 1;
  }
  int32_t mv = BANDGAP_MV * 1024 / counts;
  return mv > SUPPLY_MV * 4 / 5 && mv < SUPPLY_MV * 6 / 5;
}

#ifdef PACKETS

/* COBS: each block begins with the distance to the next zero. */
static void packet(uint8_t *bytes, uint8_t length) {
  for (uint8_t from = 0; from <= length;) {
    uint8_t to = from;
    while (to < length && bytes[to]) {
      to++;
    }
    send(to - from + 1);
    while (from < to) {
      send(bytes[from++]);
    }
    from++;
  }
  send(0);
}

static void tell(uint16_t number, const uint16_t *sum, uint8_t right) {
  uint8_t bytes[11] = {0xa1, number, number >> 8};
  uint16_t crc = 0;
  for (uint8_t i = 0; i < 3; i++) {
    uint16_t value = right ? sum[i] : 0; /* below every live zero: no value */
    bytes[3 + 2 * i] = value;
    bytes[4 + 2 * i] = value >> 8;
  }
  for (uint8_t i = 0; i < 9; i++) {
    crc = _crc_xmodem_update(crc, bytes[i]);
  }
  bytes[9] = crc;
  bytes[10] = crc >> 8;
  packet(bytes, sizeof bytes);
}

static void greet(uint8_t cause) {
  (void)cause; /* a reset shows in the packets' number */
  send(0);
}

#else

/* One pressure: thousandths of an inch of water, or why there is none. */
static void pressure(const char *label, uint16_t sum, int32_t full, uint8_t right) {
  const int32_t whole = 1024L * EACH;
  int32_t share = 1000L * sum / whole;
  text(label);
  if (!right) {
    text("REF");
  } else if (share < BROKEN) {
    text("ERR");
  } else if (share > BEYOND) {
    text("OVER");
  } else {
    int64_t over_zero = 1000LL * sum - (int32_t)MARK_LOW * whole;
    number((over_zero * full) / ((MARK_HIGH - MARK_LOW) * whole), 3);
  }
}

static void sensor(const char *label, int32_t value, uint8_t places) {
  text(label);
  if (value == NONE) {
    text("ERR");
  } else {
    number(value, places);
  }
}

static void tell(uint16_t count, const uint16_t *sum, uint8_t right) {
  static const char hex[] = "0123456789ABCDEF";
  char digits[6] = {0};
  check = 0;
  pressure("P1,", sum[0], P1_FULL, right);
  pressure(",P2,", sum[1], P2_FULL, right);
  if (P3_FULL) {
    pressure(",P3,", sum[3], P3_FULL, right);
  }
  text(",L,");
#if LIFT_UM == 0
  cli();
  int16_t at = steps;
  sei();
  number(at * STEP_UM, 3);
#else
  number((int64_t)sum[2] * LIFT_UM / (1024L * EACH), 3);
#endif
  sensor(",D,", digital, 2);
  sensor(",T,", temperature, 2);
  sensor(",H,", humidity, 1);
  text(",N,");
  for (uint8_t i = 5; i--; count /= 10) {
    digits[i] = '0' + count % 10;
  }
  text(digits);
  uint8_t sent = check;
  send('*');
  send(hex[sent >> 4]);
  send(hex[sent & 15]);
  send('\r');
  send('\n');
}

static void greet(uint8_t cause) {
  text("\r\n# board-lines 1, reset 0"); /* begins a line of its own: the one before may be cut */
  send('0' + (cause & 7));
  text("\r\n");
}

#endif

int main(void) {
  uint8_t cause = MCUSR;
  MCUSR = 0;
  UBRR0 = BAUD_UBRR;
  UCSR0A = _BV(U2X0);
  UCSR0B = _BV(TXEN0);
  UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
  TWBR = 72; /* 100 kHz */
  ADMUX = _BV(REFS0) | input_at(0);
  ADCSRA = _BV(ADEN) | ADC_CLOCK;
  DIDR0 = 0x0f; /* analogue inputs need no digital buffers */
#if LIFT_UM == 0
  PORTD |= _BV(2) | _BV(3);
  PCMSK2 = _BV(PCINT18) | _BV(PCINT19);
  PCICR = _BV(PCIE2);
#endif
  OCR1A = TICK_CYCLES - 1;
  TCCR1B = _BV(WGM12) | _BV(CS10);
  TIMSK1 = _BV(OCIE1A);
  set_sleep_mode(SLEEP_MODE_IDLE);
  sei();
  greet(cause);
  for (;;) {
    uint16_t sum[INPUTS];
    cli();
    if (!ready) {
      sleep_enable();
      sei();
      sleep_cpu(); /* till the next interrupt; the instruction after sei is always executed */
      sleep_disable();
      continue;
    }
    ready = 0;
    uint16_t number_of_it = block;
    uint16_t counts = reference;
    for (uint8_t i = 0; i < INPUTS; i++) {
      sum[i] = sums[i];
    }
    sei();
#ifndef PACKETS
    sensors();
#endif
    tell(number_of_it, sum, supply_is_right(counts));
  }
}
