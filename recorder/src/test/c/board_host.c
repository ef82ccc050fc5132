/*
 * Runs the board's firmware image in simavr with a flow bench around it: transducers on the ADC
 * pins, sensors on the I2C bus, the UART on a pseudo-terminal behind a symbolic link.
 *
 *   board_host FIRMWARE.elf LINK
 *
 * The bench's physics is its own: a port and an orifice plate in a row, isentropic flow through the
 * port, expansibility of ISO 5167-2:2003 at the plate, a first-order lag, noise from an
 * autoregression. Commands come on standard input, one a line; each is answered by its name.
 *
 * This file is ours; a program made of it is linked with libsimavr (GPL-3), so only the source is
 * handed out.
 */
#define _GNU_SOURCE
#include <fcntl.h>
#include <math.h>
#include <poll.h>
#include <pty.h>
#include <simavr/avr_adc.h>
#include <simavr/avr_twi.h>
#include <simavr/avr_uart.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_elf.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#define CYCLES_A_MS 16000
#define BEHIND_NS 500000000LL

static avr_t *avr;
static int master = -1;
static const char *link_name;
static long refused; /* bytes that a full terminal did not take */

/* ---- the bench ------------------------------------------------------------------------------ */

static double blower_pa, lift_mm, pressure_pa, drop_pa, noise_mv = 1.0, drift;
static double supply_mv = 5000, sensors_mv = 5000; /* of the board, of the transducers */
static int swapped, inverted, air_there = 1, stuck_pin = -1;
static double stuck_mv;
static unsigned long long seed = 88172645463325252ULL;

static double uniform(void) {
  seed ^= seed << 13;
  seed ^= seed >> 7;
  seed ^= seed << 17;
  return (seed >> 11) * (1.0 / 9007199254740992.0);
}

static double normal(void) {
  return sqrt(-2 * log(uniform() + 1e-300)) * cos(2 * M_PI * uniform());
}

#define ROOM_PA 101325.0
#define ROOM_K 293.15
#define GAS 287.05
#define KAPPA 1.4
#define PLATE_AREA (0.6 * M_PI / 4 * 0.060 * 0.060)

/* Effective area of the port [m2]: the curtain at first, the throat at last. */
static double port_area(double mm) {
  double curtain = 0.65 * M_PI * 0.045 * mm * 1e-3, throat = 0.00075;
  return curtain * throat / pow(pow(curtain, 4) + pow(throat, 4), 0.25);
}

/* Mass flow by a nozzle's isentropic formula. */
static double port_flow(double area, double dp) {
  double r = (ROOM_PA - dp) / ROOM_PA, rho = ROOM_PA / GAS / ROOM_K;
  return area * sqrt(2 * rho * ROOM_PA * KAPPA / (KAPPA - 1) *
                     (pow(r, 2 / KAPPA) - pow(r, (KAPPA + 1) / KAPPA)));
}

static double plate_flow(double dp, double before_pa) {
  double e = 1 - 0.351 * (1 - pow((before_pa - dp) / before_pa, 1 / KAPPA));
  return PLATE_AREA * e * sqrt(2 * before_pa / GAS / ROOM_K * dp);
}

static void physics(double seconds) {
  drift += -drift * seconds / 0.4 + 0.004 * sqrt(2 * seconds / 0.4) * normal();
  double aim = blower_pa * (1 + drift);
  pressure_pa += (aim - pressure_pa) * seconds / 0.3;
  double flow = pressure_pa > 1 && lift_mm > 0 ? port_flow(port_area(lift_mm), pressure_pa) : 0;
  double low = 0, high = 20000;
  for (int i = 0; i < 40; i++) {
    double middle = (low + high) / 2;
    if (plate_flow(middle, ROOM_PA - pressure_pa) < flow) low = middle;
    else high = middle;
  }
  drop_pa += (low - drop_pa) * seconds / 0.05;
}

/* 40 inH2O of 249.08891 Pa between a tenth and nine tenths of its supply. */
static double transducer_mv(double pa) {
  return sensors_mv * (0.1 + 0.8 * pa / (40 * 249.08891));
}

static double pin_mv(int pin) {
  double p = inverted ? -pressure_pa : pressure_pa;
  double mv = pin == (swapped ? 1 : 0)   ? transducer_mv(p)
              : pin == (swapped ? 0 : 1) ? transducer_mv(drop_pa)
              : pin == 2                 ? supply_mv * lift_mm / 25.0
                                         : 0;
  return pin == stuck_pin ? stuck_mv : mv + noise_mv * normal();
}

/* simavr works out 1023 V / Vref, the data sheet says 1024. */
static void conversion(avr_irq_t *irq, uint32_t value, void *unused) {
  (void)irq;
  (void)unused;
  union {
    avr_adc_mux_t mux;
    uint32_t v;
  } asked = {.v = value};
  avr_adc_mux_t mux = asked.mux;
  if (mux.kind == ADC_MUX_SINGLE) {
    double mv = pin_mv(mux.src) * 1024 / 1023;
    mv = mv < 0 ? 0 : mv > avr->avcc ? avr->avcc : mv;
    avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_ADC_GETIRQ, mux.src), (uint32_t)lround(mv));
  }
}

/* ---- sensors on the I2C bus ----------------------------------------------------------------- */

static int selected, at_byte;
static unsigned char answer[6];

static unsigned char crc8(const unsigned char *b) {
  unsigned char crc = 0xff;
  for (int i = 0; i < 2; i++) {
    crc ^= b[i];
    for (int bit = 0; bit < 8; bit++) crc = crc & 0x80 ? crc << 1 ^ 0x31 : crc << 1;
  }
  return crc;
}

static void word(int at, int value) {
  answer[at] = value >> 8;
  answer[at + 1] = value;
  answer[at + 2] = crc8(answer + at);
}

static void bus(avr_irq_t *irq, uint32_t value, void *unused) {
  (void)irq;
  (void)unused;
  avr_twi_msg_irq_t m;
  m.u.v = value;
  avr_irq_t *in = avr_io_getirq(avr, AVR_IOCTL_TWI_GETIRQ(0), TWI_IRQ_INPUT);
  if (m.u.twi.msg & TWI_COND_STOP) selected = 0;
  if (m.u.twi.msg & TWI_COND_START) {
    int address = m.u.twi.addr >> 1;
    selected = air_there && (address == 0x44 || address == 0x25) ? address : 0;
    at_byte = 0;
    if (selected == 0x44) {
      word(0, (int)lround((22.5 + 45) / 175 * 65535));
      word(3, (int)lround(0.40 * 65535));
    } else {
      word(0, (int)lround(60 * 123.4));
    }
    if (selected) avr_raise_irq(in, avr_twi_irq_msg(TWI_COND_ACK, m.u.twi.addr, 1));
  } else if (selected && (m.u.twi.msg & TWI_COND_WRITE)) {
    avr_raise_irq(in, avr_twi_irq_msg(TWI_COND_ACK, m.u.twi.addr, 1));
  } else if (selected && (m.u.twi.msg & TWI_COND_READ)) {
    avr_raise_irq(in, avr_twi_irq_msg(TWI_COND_READ, m.u.twi.addr, answer[at_byte++ % 6]));
  }
}

/* ---- the line ------------------------------------------------------------------------------- */

static double baud_of(speed_t speed) {
  switch (speed) {
    case B9600: return 9600;
    case B19200: return 19200;
    case B38400: return 38400;
    case B57600: return 57600;
    case B115200: return 115200;
    case B230400: return 230400;
    case B500000: return 500000;
    case B1000000: return 1000000;
    default: return 0;
  }
}

/* A receiver takes about 3 %; beyond that, bytes come as other bytes. */
static int baud_fits(void) {
  struct termios t;
  if (tcgetattr(master, &t)) return 1;
  double theirs = baud_of(cfgetospeed(&t));
  int ubrr = avr->data[0xc4] | avr->data[0xc5] << 8, fast = avr->data[0xc0] >> 1 & 1;
  double ours = 16e6 / ((fast ? 8.0 : 16.0) * (ubrr + 1));
  return theirs == 0 || fabs(ours / theirs - 1) < 0.03;
}

/* When blocks were sent, in cycles of the chip: exact, however busy this computer is. */
static long blocks;
static avr_cycle_count_t first_block, last_block, shortest, longest;

/* A line begins with P, a packet ends with 0; each begins right after its block is complete. */
static void timing(unsigned char byte) {
  static unsigned char before;
  int begins = (before == '\n' && byte == 'P') || byte == 0;
  before = byte;
  if (!begins) return;
  if (blocks == 0) {
    first_block = avr->cycle;
    shortest = ~0ULL;
    longest = 0;
  } else {
    avr_cycle_count_t step = avr->cycle - last_block;
    if (step < shortest) shortest = step;
    if (step > longest) longest = step;
  }
  last_block = avr->cycle;
  blocks++;
}

static void byte_out(avr_irq_t *irq, uint32_t value, void *unused) {
  (void)irq;
  (void)unused;
  timing(value);
  if (master < 0) return;
  struct pollfd p = {.fd = master, .events = POLLOUT};
  poll(&p, 1, 0);
  if (p.revents & POLLHUP) return; /* nobody has it open: a wire keeps nothing either */
  unsigned char byte = baud_fits() ? value : (value * 7 ^ 0x5b);
  if (write(master, &byte, 1) != 1) refused++;
}

static void plug(void) {
  int slave;
  char name[64];
  struct termios t;
  if (openpty(&master, &slave, name, NULL, NULL)) exit(3);
  tcgetattr(slave, &t);
  cfmakeraw(&t);
  tcsetattr(slave, TCSANOW, &t);
  close(slave);
  fcntl(master, F_SETFL, O_NONBLOCK);
  unlink(link_name);
  if (symlink(name, link_name)) exit(4);
}

static void unplug(void) {
  unlink(link_name);
  close(master);
  master = -1;
}

static void reset(int by_brown_out) {
  avr_reset(avr);
  if (by_brown_out) avr_regbit_set(avr, avr->reset_flags.borf);
  else avr_regbit_set(avr, avr->reset_flags.extrf);
}

static void no_sleep(avr_t *a, avr_cycle_count_t how_long) {
  (void)a;
  (void)how_long;
}

static int obey(char *line) {
  char name[32] = "";
  double a = 0, b = 0;
  sscanf(line, "%31s %lf %lf", name, &a, &b);
  if (!strcmp(name, "lift")) lift_mm = a;
  else if (!strcmp(name, "blower")) blower_pa = a;
  else if (!strcmp(name, "noise")) noise_mv = a;
  else if (!strcmp(name, "supply")) avr->vcc = avr->avcc = avr->aref = supply_mv = a;
  else if (!strcmp(name, "swap")) swapped = a != 0;
  else if (!strcmp(name, "invert")) inverted = a != 0;
  else if (!strcmp(name, "air")) air_there = a != 0;
  else if (!strcmp(name, "stuck")) stuck_pin = (int)a, stuck_mv = b;
  else if (!strcmp(name, "reset")) reset(0);
  else if (!strcmp(name, "brownout")) reset(1);
  else if (!strcmp(name, "unplug")) unplug();
  else if (!strcmp(name, "plug")) plug();
  else if (!strcmp(name, "area")) printf("area %.9g\n", port_area(a));
  else if (!strcmp(name, "rate")) {
    double hz = avr->frequency;
    printf("rate %ld %.9f %.9f %.9f\n", blocks,
           blocks > 1 ? (last_block - first_block) / hz / (blocks - 1) : 0.0, shortest / hz,
           longest / hz);
    blocks = 0;
  } else if (!strcmp(name, "state"))
    printf("state %.3f %.3f %ld\n", pressure_pa, drop_pa, refused);
  else if (!strcmp(name, "quit")) return 0;
  else printf("unknown ");
  printf("%s\n", name);
  fflush(stdout);
  return 1;
}

static int listen_to_commands(void) {
  static char line[128];
  static size_t length;
  struct pollfd p = {.fd = 0, .events = POLLIN};
  while (poll(&p, 1, 0) > 0) {
    char c;
    if (read(0, &c, 1) != 1) return 0; /* whoever started this has gone */
    if (c == '\n') {
      line[length] = 0;
      length = 0;
      if (!obey(line)) return 0;
    } else if (length + 1 < sizeof line) {
      line[length++] = c;
    }
  }
  return 1;
}

static long long now_ns(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return t.tv_sec * 1000000000LL + t.tv_nsec;
}

int main(int argc, char **argv) {
  elf_firmware_t firmware = {0};
  if (argc != 3 || elf_read_firmware(argv[1], &firmware)) return 2;
  link_name = argv[2];
  avr = avr_make_mcu_by_name("atmega328p");
  avr_init(avr);
  avr_load_firmware(avr, &firmware);
  avr->frequency = 16000000;
  avr->vcc = avr->avcc = avr->aref = 5000;
  avr->sleep = no_sleep; /* the pace is kept here */
  avr->log = LOG_ERROR;
  uint32_t flags = 0;
  avr_ioctl(avr, AVR_IOCTL_UART_SET_FLAGS('0'), &flags);
  avr_irq_register_notify(
      avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUTPUT), byte_out, NULL);
  avr_irq_register_notify(
      avr_io_getirq(avr, AVR_IOCTL_ADC_GETIRQ, ADC_IRQ_OUT_TRIGGER), conversion, NULL);
  avr_irq_register_notify(
      avr_io_getirq(avr, AVR_IOCTL_TWI_GETIRQ(0), TWI_IRQ_OUTPUT), bus, NULL);
  plug();
  printf("ready\n");
  fflush(stdout);
  long long due = now_ns();
  while (listen_to_commands()) {
    physics(0.001);
    avr_cycle_count_t until = avr->cycle + CYCLES_A_MS;
    while (avr->cycle < until) {
      int state = avr_run(avr);
      if (state == cpu_Done || state == cpu_Crashed) return 5;
    }
    due += 1000000;
    long long ahead = due - now_ns();
    if (ahead > 0) {
      struct timespec t = {.tv_nsec = ahead};
      nanosleep(&t, NULL);
    } else if (ahead < -BEHIND_NS) {
      due = now_ns(); /* never catch up in a burst */
    }
  }
  unplug();
  return 0;
}
