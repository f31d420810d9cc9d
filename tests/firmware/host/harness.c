/* The portable core on the host: a board that records what the core does, driven by one command a line on stdin, one answer line each on stdout. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include "average.h"
#include "board.h"
#include "button.h"
#include "crc16.h"
#include "interlock.h"
#include "payload.h"
#include "probe.h"
#include "protocol_table.h"
#include "range.h"
#include "slip.h"

/* --- the recording board -------------------------------------------------------------------------------------------- */

static uint32_t now_us;
static uint8_t sent[65536], received[65536], memory[1024];
static unsigned sent_count, received_count, received_taken;
static struct outputs outputs;
static enum channel channel;
static int rate = -1, bridge_ms = -1, tone_hz, held, memory_busy, memory_broken, button_down;
static int overlap; /* excitation and bridge were seen on together */

void board_hold_interrupts(void) { if (held++) abort(); }
void board_release_interrupts(void) { if (--held) abort(); }
uint32_t board_now_us(void) { return now_us; }
void board_set_outputs(const struct outputs *o) { outputs = *o; overlap |= o->excitation && o->bridge; }
void board_set_channel(enum channel c) { channel = c; }
void board_set_rate(uint8_t r) { rate = r; }
void board_arm_bridge_timer(uint16_t ms) { bridge_ms = ms; }
void board_disarm_bridge_timer(void) { bridge_ms = -1; }
bool board_uart_get(uint8_t *byte) { if (received_taken == received_count) return false; *byte = received[received_taken++]; return true; }
void board_uart_put(uint8_t byte) { if (sent_count < sizeof sent) sent[sent_count++] = byte; }
uint16_t board_uart_overruns(void) { return 2; }
uint16_t board_tip_edges(void) { return 7; }
bool board_button_down(void) { return button_down; }
void board_tone(uint16_t hz) { tone_hz = hz; }
bool board_store_ready(void) { if (memory_busy) { memory_busy--; return false; } return true; }
uint8_t board_store_read(uint16_t at) { if (at >= sizeof memory) abort(); return memory[at]; }
void board_store_write(uint16_t at, uint8_t byte) { if (at >= sizeof memory) abort(); if (!memory_broken) memory[at] = byte; memory_busy = 3; }
uint8_t board_reset_cause(void) { return OW_RESET_CAUSE_POWER_ON; }
uint16_t board_watchdog_resets(void) { return 6; }
void board_still_alive(void) { }

/* --- words of a command --------------------------------------------------------------------------------------------- */

static char *word(void) { char *w = strtok(NULL, " \n"); return w ? w : ""; }
static long number(void) { return strtol(word(), NULL, 0); }

static unsigned hex_bytes(const char *text, uint8_t *to)
{
    unsigned n = 0, byte;
    while (sscanf(text + 2 * n, "%2x", &byte) == 1) to[n++] = (uint8_t)byte;
    return n;
}

static void print_hex(const uint8_t *bytes, unsigned n) { for (unsigned i = 0; i < n; i++) printf("%02x", bytes[i]); }

/* --- commands ------------------------------------------------------------------------------------------------------- */

/* pack TYPE SEQ [u8:N | u16:N | u32:N]...  -> frame in hex */
static void pack(void)
{
    struct payload p;
    uint8_t type = (uint8_t)number(), seq = (uint8_t)number();
    payload_begin(&p, type, seq);
    for (char *w = word(); *w; w = word()) {
        unsigned long v = strtoul(strchr(w, ':') + 1, NULL, 0);
        if (!strncmp(w, "u8:", 3)) payload_u8(&p, (uint8_t)v);
        else if (!strncmp(w, "u16:", 4)) payload_u16(&p, (uint16_t)v);
        else payload_u32(&p, (uint32_t)v);
    }
    sent_count = 0;
    slip_send(p.bytes, p.count);
    print_hex(sent, sent_count);
    sent_count = 0;
}

/* unpack SIZE HEX TYPES -> results of a decoder that holds SIZE bytes; a good frame's fields are read after the comma-separated types (`*`: repeat the last) */
static void unpack(void)
{
    static const char *const names[] = {"", "", "badEscapes", "oversize", "runts", "crcErrors"};
    static uint8_t bytes[65536];
    uint8_t buffer[256];
    struct slip_in in = {.bytes = buffer, .size = (uint8_t)number()};
    unsigned n = hex_bytes(word(), bytes);
    char *types = word();
    for (unsigned i = 0; i < n; i++) {
        enum slip_result r = slip_take(&in, bytes[i]);
        if (r == SLIP_MORE) continue;
        if (r != SLIP_FRAME) {
            printf("%s ", names[r]);
            continue;
        }
        printf("frame %u %u", buffer[0], buffer[1]);
        const char *t = types;
        unsigned at = 2, end = in.count - 2u;
        while (at < end && *t) {
            if (!strncmp(t, "u8", 2)) printf(" %u", buffer[at]), at += 1;
            else if (!strncmp(t, "u16", 3)) printf(" %u", field_u16(buffer + at)), at += 2;
            else printf(" %lu", (unsigned long)field_u32(buffer + at)), at += 4;
            const char *comma = strchr(t, ',');
            if (comma && comma[1] != '*') t = comma + 1;
            else if (!comma) break;
        }
        printf(at == end ? " ; " : " left %u ; ", end - at);
        in.count = 0;
    }
}

static struct interlock il;

static void print_interlock(struct interlock_result r)
{
    struct outputs o;
    interlock_outputs(&il, &o);
    printf("%u %u %u %u %u %u %u %u %u %u %u", r.status, r.happened, r.reason, il.mode, il.level, il.input, il.range, o.excitation, o.bridge, il.live, il.looks == 0);
}

/* interlock begin | mode M L R I | bridge MS | reading SUM TIP BLANKED | timeUp | silence MS -> status happened reason mode level input range excitation bridge live known */
static void interlock(void)
{
    struct interlock_result r = {0, 0, 0};
    char *what = word();
    long a = number(), b = number(), c = number(), d = number();
    if (!strcmp(what, "begin")) interlock_begin(&il);
    else if (!strcmp(what, "mode")) r = interlock_set_mode(&il, (uint8_t)a, (uint8_t)b, (uint8_t)c, (uint8_t)d);
    else if (!strcmp(what, "bridge")) r = interlock_set_bridge(&il, (uint16_t)a);
    else if (!strcmp(what, "reading")) r = interlock_reading(&il, (uint16_t)a, (uint16_t)b, c != 0);
    else if (!strcmp(what, "timeUp")) r = interlock_bridge_time_up(&il);
    else if (!strcmp(what, "silence")) r = interlock_silence(&il, (uint32_t)a);
    else abort();
    print_interlock(r);
}

/* probe begin | rx HEX | reading SUM TIP OVER SEATA SEATB | light CODE | bridgeTimer | time US | loop N | button DOWN | break ->
   sent frames in hex ; excitation bridge source gain200 dry input channel rate bridgeMs toneHz overlap */
static void probe(void)
{
    char *what = word();
    if (!strcmp(what, "begin")) {
        probe_begin();
        probe_hello();
    } else if (!strcmp(what, "rx")) {
        received_count = hex_bytes(word(), received);
        received_taken = 0;
        probe_loop();
    } else if (!strcmp(what, "reading")) {
        long sum = number(), tip = number(), over = number(), a = number(), b = number();
        board_hold_interrupts(); /* as in an interrupt: the core must not hold them again */
        probe_on_reading((uint16_t)sum, over, (uint16_t)tip, a, b);
        board_release_interrupts();
    } else if (!strcmp(what, "light")) {
        board_hold_interrupts();
        probe_on_light((uint16_t)number());
        board_release_interrupts();
    } else if (!strcmp(what, "bridgeTimer")) {
        probe_on_bridge_timer();
    } else if (!strcmp(what, "time")) {
        now_us = (uint32_t)strtoul(word(), NULL, 0);
    } else if (!strcmp(what, "loop")) {
        for (long n = number(); n > 0; n--) probe_loop();
    } else if (!strcmp(what, "button")) {
        button_down = (int)number();
    } else if (!strcmp(what, "break")) {
        memory_broken = 1;
    } else {
        abort();
    }
    print_hex(sent, sent_count);
    sent_count = 0;
    printf(" ; %d %d %d %d %d %d %d %d %d %d %d", outputs.excitation, outputs.bridge, outputs.source, outputs.gain200, outputs.dry, outputs.input, channel, rate,
           bridge_ms, tone_hz, overlap);
}

/* range RANGE LEVEL CODE... -> range after each reading */
static void range(void)
{
    uint8_t up = 0, r = (uint8_t)number(), level = (uint8_t)number();
    for (char *w = word(); *w; w = word()) printf("%u ", r = range_next(r, level, (uint16_t)atoi(w), &up));
}

/* average CONVERSION... -> sum tip over, for each reading that is whole */
static void average(void)
{
    struct average a;
    average_begin(&a);
    for (char *w = word(); *w; w = word()) {
        if (!average_add(&a, (uint16_t)atoi(w))) continue;
        printf("%u %u %d ", a.sum, a.tip, a.over);
        average_begin(&a);
    }
}

/* button DOWN:US... -> changes */
static void button(void)
{
    struct button b = {0};
    for (char *w = word(); *w; w = word()) {
        uint16_t ms = 0;
        enum button_change c = button_step(&b, w[0] == '1', (uint32_t)strtoul(w + 2, NULL, 0), &ms);
        if (c != BUTTON_SAME) printf(c == BUTTON_DOWN ? "down@%s " : "up@%s:%u ", w + 2, ms);
    }
}

int main(void)
{
    static char line[262144];
    memset(memory, 0xFF, sizeof memory);
    while (fgets(line, sizeof line, stdin)) {
        char *what = strtok(line, " \n");
        if (!what) continue;
        if (!strcmp(what, "pack")) pack();
        else if (!strcmp(what, "unpack")) unpack();
        else if (!strcmp(what, "interlock")) interlock();
        else if (!strcmp(what, "probe")) probe();
        else if (!strcmp(what, "range")) range();
        else if (!strcmp(what, "blank")) { uint8_t r = (uint8_t)number(); printf("%u", range_blank(r, (uint16_t)number())); }
        else if (!strcmp(what, "average")) average();
        else if (!strcmp(what, "button")) button();
        else if (!strcmp(what, "crc")) {
            static uint8_t bytes[65536];
            uint16_t crc = CRC16_INIT;
            for (unsigned i = 0, n = hex_bytes(word(), bytes); i < n; i++) crc = crc16_add(crc, bytes[i]);
            printf("%04x", crc);
        } else abort();
        printf("\n");
    }
    return 0;
}
