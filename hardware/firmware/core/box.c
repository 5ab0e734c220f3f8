// The main loop's work, in the order in which a turn does it: beam, button, second port, host, time,
// and then one line out.
#include "box.h"

#include <string.h>

#include "frame.h"
#include "hear.h"
#include "pass.h"
#include "port.h"
#include "random.h"
#include "relay.h"
#include "ring.h"
#include "say.h"
#include "settings.h"
#include "tag.h"

// Heartbeats are up to a fifth early or late, so that two boxes on one radio do not stay in step.
#define BEAT_CABLE_TICKS (2u * TICKS_PER_S)
#define BEAT_RADIO_TICKS (12u * TICKS_PER_S)
#define QUIET_TICKS (50u * TICKS_PER_MS)
#define IDENTIFY_TICKS (300u * TICKS_PER_MS)
// chosen: longer than any switch bounces, shorter than anybody presses twice.
#define BUTTON_REST_TICKS (50u * TICKS_PER_MS)

// Not merged into the main loop, whose variables would then lie on the stack under every line.
#define APART __attribute__((noinline))

static settings_t settings;
static uint16_t boot;
static uint16_t chance;
static ring_t ring;
static pass_t pass;
static tag_reader_t reader;

// Lines of the host, two buffers in turn. The interrupt fills the one at `rx_fill` and sets its flag,
// the main loop reads the one at `rx_read` and clears it: two lines may come back to back. While both are full, bytes are
// lost; what is left of their line is then noise, and counted.
static frame_t rx[2];
static volatile bool rx_is_full[2];  // set by the interrupt, cleared by the main loop
static uint8_t rx_fill;              // interrupt only
static volatile uint8_t rx_bad;      // interrupt only, wraps; the main loop adds up its steps
static uint8_t rx_bad_seen;
static uint8_t rx_read;

static uint16_t bad_input;  // wraps

static bool is_button_ready;
static uint32_t button_rest_at;

// Share of the time in which the beam was seen: since the last heartbeat, and as it was then.
static uint32_t turn_at;
static uint32_t beat_from;
static uint32_t seen_ticks;
static uint8_t beam_percent;
static uint32_t beat_at;

// Lines owed besides events.
static bool owes_boot;
static bool owes_heartbeat;
static bool owes_reply;
static bool owes_gone;
static query_t query;
static uint32_t gone_from;
static uint32_t gone_to;
static bool is_identify_due;
static uint32_t identify_at;

// Radio only: the silence after a line.
static bool is_sending;
static bool is_quiet;
static uint32_t quiet_until;

static bool is_due(stamp_t now, uint32_t at) {
  return ticks_since(stamp_ticks(now), at) >= 0;
}

static void count_bad(uint8_t more) {
  bad_input = (uint16_t)(bad_input + more);
}

// A part of `ticks`, all parts equally likely, in steps of a 256th.
static uint32_t part_of(uint32_t ticks) {
  return (ticks >> 8) * (random_next(&chance) >> 8);
}

static void plan_heartbeat(stamp_t now) {
  uint32_t every = settings.link == LINK_CABLE ? BEAT_CABLE_TICKS : BEAT_RADIO_TICKS;
  beat_at = stamp_ticks(now) + every / 5u * 4u + part_of(every / 5u * 2u);
}

// --- Events -------------------------------------------------------------------------------------

// All but aux and tag. NULL if the numbers are used up.
static event_t *add_event(char kind, stamp_t at) {
  event_t *event = ring_add(&ring);
  if (event == NULL) {
    port_restart();
    return NULL;
  }
  event->at = at;
  event->battery_mv = port_battery_mv();
  event->beam_percent = beam_percent;
  uint8_t number = 0;
  while (say_kinds[number] != kind) number++;
  event->kind = number & 0xFu;
  event->role = settings.role & 0xFu;
  event->aux = 0;
  return event;
}

static void add_moment(const moment_t *moment) {
  event_t *event = add_event(moment->kind, moment->at);
  if (event != NULL) event->aux = moment->aux;
}

static void let_time_pass(stamp_t now) {
  moment_t moment;
  while (pass_time(&pass, now, &moment)) add_moment(&moment);
}

// `now` was read before the edges are: none of them is missing below it.
static APART void watch_beam(stamp_t now) {
  moment_t moment;
  edge_t edge;
  while (port_take_edge(&edge)) {
    let_time_pass(edge.at);
    if (pass_edge(&pass, edge, &moment)) add_moment(&moment);
  }
  let_time_pass(now);
  if (pass.state == PASS_DEAF) {
    bool is_blocked = port_is_blocked();
    if (pass_settle(&pass, now, is_blocked, &moment)) add_moment(&moment);
    if (pass.state != PASS_DEAF) beam_percent = is_blocked ? 0 : 100;
  } else if (!pass.is_blocked) {
    seen_ticks += stamp_ticks(now) - turn_at;
  }
  turn_at = stamp_ticks(now);
}

// A press counts if the button was up for a while before: neither its bouncing nor that of letting go
// does. The level is read before the press is asked for, so that no press is missed in between.
static void watch_button(stamp_t now) {
  bool is_down = port_is_button_down();
  stamp_t at;
  if (port_take_press(&at)) {
    if (is_button_ready) add_event('M', at);
    is_down = true;
  }
  if (is_down) {
    is_button_ready = false;
    button_rest_at = stamp_ticks(now) + BUTTON_REST_TICKS;
  } else if (!is_button_ready) {
    is_button_ready = is_due(now, button_rest_at);
  }
}

static APART void read_tags(void) {
  uint8_t byte;
  stamp_t at;
  while (port_take_second(&byte, &at)) {
    tag_result_t result = tag_byte(&reader, byte);
    if (result == TAG_BAD) count_bad(1);
    if (result != TAG_DONE) continue;
    event_t *event = add_event('T', at);
    if (event != NULL) memcpy(event->tag, reader.packed, TAG_PACKED);
  }
}

// --- The host -----------------------------------------------------------------------------------

void box_host_byte(uint8_t byte, stamp_t at) {
  if (rx_is_full[rx_fill]) return;
  port_fence();
  frame_result_t result = frame_byte(&rx[rx_fill], byte, at);
  port_fence();
  if (result == FRAME_BAD) rx_bad = (uint8_t)(rx_bad + 1u);
  if (result != FRAME_LINE) return;
  rx_is_full[rx_fill] = true;
  rx_fill ^= 1u;
}

// Numbers of A and N: which boot, which event. False if they are none; `*is_mine` if it is this boot.
static bool read_place(const heard_t *line, uint32_t *seq, bool *is_mine) {
  uint16_t of_boot;
  if (!hear_boot(line, 1, &of_boot) || !hear_number(line, 2, 8, seq)) return false;
  *is_mine = of_boot == boot;
  return true;
}

static bool obey_query(const heard_t *line, stamp_t began) {
  if (!hear_digits(line, 1, sizeof query.token) || !hear_digits(line, 2, sizeof query.t1)) {
    return false;
  }
  query.token_length = line->length[1];
  memcpy(query.token, line->field[1], query.token_length);
  query.t1_length = line->length[2];
  memcpy(query.t1, line->field[2], query.t1_length);
  query.t2 = began;
  owes_reply = true;
  return true;
}

static bool read_role(const heard_t *line, uint8_t i, uint8_t *role) {
  if (i >= line->fields) return false;
  uint8_t length = line->length[i];
  const char *text = line->field[i];
  if (length == 1 && text[0] == 'S') *role = ROLE_START;
  else if (length == 1 && text[0] == 'F') *role = ROLE_FINISH;
  else if (length == 2 && text[0] == 'P' && text[1] >= '1' && text[1] <= '9')
    *role = (uint8_t)(text[1] - '0' + (int)ROLE_FINISH);
  else return false;
  return true;
}

static bool obey_rename(const heard_t *line) {
  uint8_t role;
  if (!hear_is_id(line, 1) || !read_role(line, 2, &role)) return false;
  memset(settings.id, 0, sizeof settings.id);
  memcpy(settings.id, line->field[1], line->length[1]);
  settings.role = role;
  return true;
}

static const IN_FLASH char block_us[] = "block_us";
static const IN_FLASH char rearm_us[] = "rearm_us";
static const IN_FLASH char aux[] = "aux";
static const IN_FLASH char link_name[] = "link";

static bool obey_set(const heard_t *line) {
  uint32_t value;
  if (!hear_number(line, 2, 8, &value)) return false;
  if (hear_is_name(line, 1, block_us) && value >= BLOCK_US_LEAST && value <= BLOCK_US_MOST) {
    settings.block_us = value;
  } else if (hear_is_name(line, 1, rearm_us) && value >= REARM_US_LEAST && value <= REARM_US_MOST) {
    settings.rearm_us = value;
  } else if (hear_is_name(line, 1, aux) && value <= AUX_RELAY) {
    settings.aux = (uint8_t)value;
    tag_start(&reader);
    relay_start();
    port_open_second(settings.aux == AUX_RELAY);
  } else if (hear_is_name(line, 1, link_name) && value <= LINK_LAST) {
    settings.link = (uint8_t)value;
  } else {
    return false;
  }
  pass_limits(&pass, settings.block_us, settings.rearm_us);
  return true;
}

// True if the line makes sense. B follows W and S once they are stored.
static bool obey(const heard_t *line, stamp_t began, stamp_t now) {
  uint32_t seq;
  bool is_mine;
  switch (line->type) {
    case 'I':
      if (!is_identify_due) identify_at = stamp_ticks(now) + part_of(IDENTIFY_TICKS);
      is_identify_due = true;
      return true;
    case 'Q':
      return obey_query(line, began);
    case 'A':
      if (!read_place(line, &seq, &is_mine)) return false;
      if (is_mine) ring_acknowledge(&ring, seq, stamp_ticks(now));
      return true;
    case 'N':
      if (!read_place(line, &seq, &is_mine)) return false;
      if (is_mine && ring_go_back(&ring, seq, &gone_to)) {
        gone_from = seq;
        owes_gone = true;
      }
      return true;
    case 'W':
      if (!obey_rename(line)) return false;
      settings_store(&settings);
      return true;
    case 'S':
      if (!obey_set(line)) return false;
      settings_store(&settings);
      return true;
    default:
      return true;  // a box's line, or one that a later version adds
  }
}

static APART void hear_host_line(const frame_t *frame, stamp_t now) {
  heard_t line;
  if (!hear_line(frame->text, frame->length, &line)) {
    count_bad(1);
    return;
  }
  bool is_for_all =
      line.type == 'I' && line.fields > 0 && line.length[0] == 1 && line.field[0][0] == '?';
  bool is_for_me = hear_is(&line, 0, settings.id);
  if (!is_for_all && !hear_is_id(&line, 0)) {
    count_bad(1);
    return;
  }
  if (!is_for_me && settings.aux == AUX_RELAY) {
    relay_take(frame->text, frame->length, &line, frame->began);
  }
  if ((is_for_all || is_for_me) && !obey(&line, frame->began, now)) count_bad(1);
}

static void listen_to_host(stamp_t now) {
  while (rx_is_full[rx_read]) {
    port_fence();
    hear_host_line(&rx[rx_read], now);
    port_fence();
    rx_is_full[rx_read] = false;
    rx_read ^= 1u;
  }
  uint8_t bad = rx_bad;
  count_bad((uint8_t)(bad - rx_bad_seen));
  rx_bad_seen = bad;
}

// --- Time ---------------------------------------------------------------------------------------

static APART void keep_time(stamp_t now) {
  uint32_t ticks = stamp_ticks(now);
  ring_time(&ring, ticks);
  if (settings_turn()) owes_boot = true;
  if (is_identify_due && is_due(now, identify_at)) {
    is_identify_due = false;
    owes_boot = true;
    ring_start_over(&ring);
  }
  if (is_due(now, beat_at)) {
    uint32_t all = (ticks - beat_from) >> 8;
    if (all > 0) beam_percent = (uint8_t)((seen_ticks >> 8) * 100u / all);
    if (beam_percent > 100) beam_percent = 100;
    beat_from = ticks;
    seen_ticks = 0;
    owes_heartbeat = true;
    plan_heartbeat(now);
  }
}

// --- One line out -------------------------------------------------------------------------------

// On the radio, a line is begun only once the one before has left and its silence is over.
static bool is_silence_over(stamp_t now) {
  if (settings.link == LINK_CABLE) return true;
  if (!port_is_send_idle()) {
    is_sending = true;
    return false;
  }
  if (is_sending) {
    is_sending = false;
    is_quiet = true;
    quiet_until = stamp_ticks(now) + QUIET_TICKS;
  }
  if (is_quiet && is_due(now, quiet_until)) is_quiet = false;
  return !is_quiet;
}

static APART void speak(stamp_t now) {
  speaker_t who = {settings.id, boot};
  if (!is_silence_over(now)) return;
  if (owes_reply) {
    if (!port_is_send_idle()) return;
    say_reply(who, &query);
    owes_reply = false;
    return;
  }
  if (port_send_free() < LINE_MOST) return;
  if (owes_boot) {
    say_boot(who, settings.role, port_now(), &ring);
    owes_boot = false;
  } else if (owes_gone) {
    say_gone(who, gone_from, gone_to);
    owes_gone = false;
  } else if (owes_heartbeat) {
    health_t health = {port_battery_mv(), beam_percent, pass.glitches, ring.overwritten, bad_input};
    say_heartbeat(who, port_now(), &ring, &health);
    owes_heartbeat = false;
  } else if (relay_has_line()) {
    relay_pass_on();
  } else {
    uint32_t seq;
    const event_t *event = ring_take(&ring, stamp_ticks(now), &seq);
    if (event != NULL) say_event(who, seq, event);
  }
}

// --- The loop -----------------------------------------------------------------------------------

static uint16_t seed(void) {
  uint16_t state = boot;
  for (uint8_t i = 0; i < ID_MOST; i++) state = (uint16_t)(state * 31u + (uint8_t)settings.id[i]);
  return state == 0 ? 1 : state;
}

void box_start(void) {
  settings_load(&settings);
  boot = settings_next_boot();
  chance = seed();
  ring_start(&ring);
  tag_start(&reader);
  relay_start();
  frame_start(&rx[0]);
  frame_start(&rx[1]);
  rx_is_full[0] = rx_is_full[1] = false;
  rx_fill = rx_read = 0;
  rx_bad_seen = rx_bad;
  bad_input = 0;
  owes_boot = true;
  owes_heartbeat = owes_reply = owes_gone = is_identify_due = false;
  is_sending = is_quiet = false;
  is_button_ready = false;
  beam_percent = 0;
  seen_ticks = 0;

  stamp_t now = port_now();
  turn_at = beat_from = button_rest_at = stamp_ticks(now);
  button_rest_at += BUTTON_REST_TICKS;
  pass_start(&pass, now);
  pass_limits(&pass, settings.block_us, settings.rearm_us);
  plan_heartbeat(now);
  port_open_host(settings.link == LINK_RADIO_SLOW);
  port_open_second(settings.aux == AUX_RELAY);
}

void box_turn(void) {
  stamp_t now = port_now();
  watch_beam(now);
  watch_button(now);
  if (settings.aux == AUX_RELAY) count_bad(relay_listen());
  else read_tags();
  listen_to_host(now);
  keep_time(now);
  speak(now);
  if (settings.aux == AUX_RELAY) relay_turn(now);
  // The last number is given out and nothing waits: the next event begins a new boot.
  if (ring.next_seq > RING_LAST_SEQ && ring.oldest_seq == ring.next_seq) port_restart();
}
